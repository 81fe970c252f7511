/* A worker for pages that are opened from a file, where browsers start none: the script runs in a
   hidden frame instead. The theme's offline plugin leaves its own copy, which it would fetch from
   another host, alone where a script has "iframe-worker" in its name.

   Nothing is written into the frame as text: the content security policy of the page holds in the
   frame too, and forbids inline scripts whose digest it does not name. */
(() => {
  "use strict";

  class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      this.frame = document.createElement("iframe");
      this.frame.hidden = true;
      document.body.append(this.frame);
      const inside = this.frame.contentWindow;
      inside.postMessage = (data) => this.tell("message", { data: structuredClone(data) });
      inside.importScripts = (...addresses) =>
        addresses.reduce((before, one) => before.then(() => this.load(one)), Promise.resolve());
      this.ready = this.load(address);
      this.ready.catch((error) => this.tell("error", { message: error.message }));
    }

    /* Run a script in the frame. */
    load(address) {
      const script = this.frame.contentDocument.createElement("script");
      script.src = new URL(address, document.baseURI).href;
      return new Promise((resolve, reject) => {
        script.onload = resolve;
        script.onerror = () => reject(new Error(`${address} cannot be loaded`));
        this.frame.contentDocument.body.append(script);
      });
    }

    tell(type, said) {
      const event = type === "error" ? new ErrorEvent(type, said) : new MessageEvent(type, said);
      this.dispatchEvent(event);
      this[`on${type}`]?.(event);
    }

    postMessage(data) {
      const inside = this.frame.contentWindow;
      const copy = structuredClone(data);
      this.ready.then(
        () => inside.dispatchEvent(new MessageEvent("message", { data: copy })),
        () => {}, // told as an error already
      );
    }

    terminate() {
      this.frame.remove();
    }
  }

  if (window.location.protocol === "file:") {
    window.Worker = FrameWorker;
  }
})();
