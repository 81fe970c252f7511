/* Has the service worker keep the building of this page on the device, and says on the overview
   of the building how far that is. Only where the site comes from a server: a stick needs none. */
(() => {
  "use strict";

  const { root, building, overview } = document.currentScript.dataset;
  const AGAIN_MS = 20000; // a browser ends a worker that hears nothing for long
  const container = navigator.serviceWorker;
  let state = "";
  let asked = false;

  if (!/^https?:$/.test(window.location.protocol)) return;

  // The line on the overview.

  function element(name, text = "", parts = {}) {
    const made = Object.assign(document.createElement(name), parts);
    made.textContent = text;
    return made;
  }

  const line = element("section", "", { className: "rg-keep" });
  line.setAttribute("aria-label", "Use without signal");
  const words = element("p");
  words.setAttribute("role", "status");
  line.append(words);
  // What is rarely pressed stands at the end: the first screen belongs to the answer.
  const foot = element("p", "", { className: "rg-keep" });
  foot.hidden = true;

  function place() {
    const before = document.querySelector("#find") ?? document.querySelector("article h1");
    if (!overview || !before) return;
    before.after(line);
    document.querySelector("article").append(foot);
  }

  function say(text, wrong = false, button = null) {
    if (words.textContent !== text) words.textContent = text;
    line.classList.toggle("rg-keep--wrong", wrong);
    line.querySelector("button")?.remove();
    foot.replaceChildren();
    foot.hidden = button !== drop;
    if (button) {
      const made = element("button", button[0], { type: "button" });
      made.addEventListener("click", button[1]);
      (button === drop ? foot : line).append(made);
    }
  }

  function size(bytes) {
    return bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
  }

  function day(time) {
    const two = (number) => String(number).padStart(2, "0");
    const d = new Date(time);
    const date = `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
    return `${date} ${two(d.getHours())}:${two(d.getMinutes())}`;
  }

  const ask = ["Keep this building for offline use", () => keep({ asked: true })];
  const again = ["Try again", () => keep({ asked: true })];
  const drop = ["Remove from this device", () => tell({ remove: building })];

  /* Say what is still there after a building could not be kept as it is now. */
  function left(said) {
    if (said.whole) {
      return ` What was fetched ${day(said.whole.when)} is still here, except for pages that have changed since.`;
    }
    return said.total ? ` ${said.done ?? 0} of ${said.total} files are here.` : "";
  }

  function show(said) {
    state = said.state;
    line.dataset.state = state;
    const much = `${said.pages} pages, ${size(said.bytes)}`;
    const shows = {
      filling: () => say(`Keeping this building for use without signal: ${said.done} of ${said.total} files.`),
      kept: () => say(`Kept on this device: ${much}, fetched ${day(said.when)}.`, false, drop),
      asks: () => say(`Not kept on this device: ${much}.`, false, ask),
      "not wanted": () => say("Not kept on this device: it was removed.", false, ask),
      full: () => say(`NOT KEPT COMPLETELY: this device has no room left.${left(said)}`, true, again),
      interrupted: () => say(`NOT KEPT COMPLETELY: ${said.reason}.${left(said)}`, true, again),
      failed: () => say(`Not kept on this device: ${said.reason}.`, true),
    };
    shows[state]?.();
  }

  // The worker.

  async function tell(said) {
    const registration = await container.ready;
    registration.active.postMessage(said);
  }

  function keep(more = {}) {
    asked = true;
    const first = `${building}${window.location.pathname.split(`/${building}`).at(-1)}`;
    const sparing = navigator.connection?.saveData ?? false;
    return tell({ keep: building, first, sparing, ...more });
  }

  /* Say at the top that data came from what is kept, though the page is from the server. */
  function lost(when) {
    if (document.querySelector(".rg-kept")) return;
    const note = element("aside", "", { className: "rg-kept" });
    note.setAttribute("role", "alert");
    note.append(
      element("strong", "The connection was lost:"),
      ` what this page has looked up since is of what was fetched ${when}. `,
      element("a", "Try the server again", { href: "" }),
    );
    document.querySelector("article")?.prepend(note);
  }

  function hear({ data }) {
    if (data.lost) lost(data.lost);
    else if (data.state && (!data.building || data.building === building)) show(data);
  }

  async function start() {
    place();
    if (!container) {
      say("Not kept for use without signal: a browser keeps only what comes over https.", true);
      return;
    }
    say("Looking whether this building is kept for use without signal.");
    container.addEventListener("message", hear);
    container.addEventListener("controllerchange", () => keep());
    const scope = new URL(root, document.baseURI);
    try {
      await container.register(new URL("sw.js", scope), {
        scope: scope.href,
        updateViaCache: "none",
      });
    } catch (error) {
      // Without connection the browser cannot look for a new worker; the one there is does.
      if (!(await container.getRegistration())) {
        show({ state: "failed", reason: error.message });
        return;
      }
    }
    await container.ready;
    if (!asked) await keep();
    window.addEventListener("online", () => keep());
    window.setInterval(() => {
      const visible = document.visibilityState === "visible";
      if (visible && (state === "filling" || state === "interrupted")) keep();
    }, AGAIN_MS);
  }

  if (document.readyState === "complete") start();
  else window.addEventListener("load", start);
})();
