/* The outage planner: devices are chosen, the answer follows at once.

   The choice stands in the address, `#open=LP-1/3,garage:GP-1/main;normal`, and nowhere else: what
   is shown always comes from there, so a link, the back button and a reload all do the same. An
   address without positions means the present ones, where any are recorded. */
((outage) => {
  "use strict";

  const MOST_MATCHES = 40;
  const PREFIX = "open=";
  const PRESENT = "present";
  const NORMAL = "normal";

  class Planner {
    constructor(root, files) {
      this.home = root.dataset.building;
      this.network = networkOf(root, files);
      this.sheet = new outage.Sheet(this.network, this.home, JSON.parse(root.dataset.links));
      this.search = new Search(this, this.network.devices.map((one) => this.described(one)));
      this.chosen = [];
      this.missing = [];
      this.positions = this.usual();
      this.listen();
      this.follow();
    }

    listen() {
      window.addEventListener("hashchange", () => this.follow());
      part("clear").addEventListener("click", () => this.choose([]));
      part("print").addEventListener("click", () => window.print());
      part("copy").addEventListener("click", () => this.copy());
      part("positions")?.addEventListener("change", (event) => {
        this.positions = event.target.value;
        this.choose(this.chosen);
      });
    }

    /** Return a device as the search knows it: what it matches, and what it shows. */
    described(device) {
      const room = this.network.roomNames.get(`${device.building}:${device.room}`);
      const name = this.sheet.name(device.tag);
      const where = [device.room && `room ${device.room}`, room].filter((text) => text).join(" ");
      const about = [device.title, where].filter((text) => text).join(", ");
      return { device, name, about, words: `${name} ${device.box.tag} ${about}`.toLowerCase() };
    }

    // The choice and the address.

    /** Take over what the address says; an anchor of the page leaves the choice alone. */
    follow() {
      const said = decoded(window.location.hash.slice(1));
      if (said.startsWith(PREFIX) || said === "") {
        const [list, positions] = said.slice(PREFIX.length).split(";");
        const names = list.split(",").filter((name) => name !== "");
        const found = names.map((name) => this.find(name));
        this.chosen = [...new Set(found.filter((device) => device !== undefined))];
        this.missing = names.filter((_, i) => found[i] === undefined);
        this.positions = positions === NORMAL ? NORMAL : this.usual();
      }
      try {
        this.show();
      } catch (error) {
        giveUp(error); // the answer of another choice must not stay
      }
    }

    /** Return the positions to start from if nothing is said: an outage happens as things stand. */
    usual() {
      return part("positions") ? PRESENT : NORMAL;
    }

    /** Return the device of a name as the address gives it, whatever its case. */
    find(name) {
      const tag = name.includes(":") ? name : `${this.home}:${name}`;
      const same = (device) => device.tag.toLowerCase() === tag.toLowerCase();
      return this.network.deviceOf.get(tag) ?? this.network.devices.find(same);
    }

    choose(devices) {
      const names = devices.map((device) => this.sheet.name(device.tag));
      const positions = part("positions") ? `;${this.positions}` : "";
      const hash = `#${PREFIX}${names.join(",")}${positions}`;
      if (window.location.hash === hash) {
        this.follow();
      } else {
        window.location.hash = hash; // and `follow` is called
      }
    }

    add(device) {
      this.choose([...this.chosen.filter((one) => one !== device), device]);
    }

    remove(device) {
      this.choose(this.chosen.filter((one) => one !== device));
      part("search").focus();
    }

    // What is shown.

    show() {
      if (part("positions")) {
        part("positions").value = this.positions;
      }
      part("status").textContent = "";
      part("link-line").hidden = true;
      part("chosen").replaceChildren(...this.chosen.map((device) => this.chip(device)));
      const tags = this.chosen.map((device) => device.tag);
      const answer = tags.length > 0 ? outage.answer(this.network, tags, this.positions) : null;
      const shown = answer === null ? this.nothingChosen() : this.answered(answer);
      const warned = answer === null ? [] : this.otherwiseToday(answer, tags);
      part("summary").replaceChildren(...this.notHere(), ...warned, ...shown.summary);
      part("stops-on-paper").replaceChildren(...shown.stops);
      part("answer").replaceChildren(...shown.rest);
      part("tied").textContent = shown.tied;
      part("tied").hidden = shown.tied === "";
    }

    nothingChosen() {
      const text = outage.element("p", {}, "Choose the devices that will be opened together.");
      return { summary: [text], stops: [], rest: [], tied: "" };
    }

    answered(answer) {
      const tied = [...new Set(this.chosen.flatMap((device) => device.opensWith))].filter(
        (device) => !this.chosen.includes(device),
      );
      const names = tied.map((device) => this.sheet.name(device.tag));
      return {
        summary: this.sheet.summary(answer),
        stops: this.sheet.stops(answer.stop),
        rest: this.sheet.whole(answer, [...this.chosen, ...tied]),
        tied: names.length > 0 ? `Opens too, handles tied: ${names.join(", ")}` : "",
      };
    }

    /** An answer for fewer devices than the link names must not look like the whole. */
    notHere() {
      if (this.missing.length === 0) {
        return [];
      }
      const mark = outage.element("strong", { class: "rg-mark-stop" }, "STOP");
      const names = this.missing.join(", ");
      const text = ` The link names what these records do not hold: ${names}.`;
      return [outage.element("p", {}, mark, text, " The answer leaves it out.")];
    }

    /** An answer from the normal positions must not look like that of today. */
    otherwiseToday(answer, tags) {
      const moved = this.network.devices.filter((device) => device.present);
      if (this.positions === PRESENT || moved.length === 0) {
        return [];
      }
      const now = outage.answer(this.network, tags, PRESENT);
      return this.sheet.otherwiseToday(answer, now, moved);
    }

    chip(device) {
      const name = this.sheet.name(device.tag);
      const label = `Remove ${name}`;
      const button = outage.element("button", { type: "button", "aria-label": label }, "×");
      button.addEventListener("click", () => this.remove(device));
      return outage.element("li", {}, outage.element("span", {}, name), button);
    }

    async copy() {
      const link = window.location.href;
      try {
        await navigator.clipboard.writeText(link);
        part("status").textContent = "The link is copied.";
      } catch {
        // Not every browser lets a page opened from a file write there.
        part("link-line").hidden = false;
        part("link").value = link;
        part("link").select();
        part("status").textContent = "Copy the link from the field below.";
      }
    }
  }

  /** The search box and the list of what matches, worked by keyboard or by pressing. */
  class Search {
    constructor(planner, entries) {
      this.planner = planner;
      this.entries = entries;
      this.found = [];
      this.active = -1;
      this.box = part("search");
      this.list = part("matches");
      this.box.addEventListener("input", () => this.look());
      this.box.addEventListener("keydown", (event) => this.key(event));
      this.box.addEventListener("blur", () => this.leave());
    }

    look() {
      part("status").textContent = "";
      const words = this.box.value.toLowerCase().split(/\s+/).filter((word) => word !== "");
      const matching = words.length === 0 ? [] : this.matching(words);
      this.found = matching.slice(0, MOST_MATCHES);
      const items = this.found.map((entry, i) => this.item(entry, i));
      if (words.length > 0 && matching.length !== this.found.length) {
        items.push(this.remark(`and ${matching.length - this.found.length} more: type more`));
      } else if (words.length > 0 && matching.length === 0) {
        items.push(this.remark("no device matches"));
      }
      this.list.replaceChildren(...items);
      this.list.hidden = items.length === 0;
      this.box.setAttribute("aria-expanded", String(items.length > 0));
      this.mark(this.found.length > 0 ? 0 : -1);
    }

    /** Return the entries that hold every word; those whose tag starts with the first lead. */
    matching(words) {
      const holds = (entry) => words.every((word) => entry.words.includes(word));
      const found = this.entries.filter(holds);
      const leads = (entry) => (entry.name.toLowerCase().startsWith(words[0]) ? 0 : 1);
      return found.sort((a, b) => leads(a) - leads(b));
    }

    item(entry, i) {
      const name = outage.element("strong", {}, entry.name);
      const attributes = { role: "option", id: `planner-match-${i}`, "aria-selected": "false" };
      const item = outage.element("li", attributes, name, entry.about ? ` ${entry.about}` : "");
      // Before the box loses the focus, which closes the list.
      item.addEventListener("pointerdown", (event) => event.preventDefault());
      item.addEventListener("click", () => this.take(i));
      return item;
    }

    remark(text) {
      return outage.element("li", { role: "presentation", class: "rg-origin" }, text);
    }

    mark(i) {
      this.active = i;
      this.list.querySelector('[aria-selected="true"]')?.setAttribute("aria-selected", "false");
      const item = i < 0 ? null : this.list.children[i];
      item?.setAttribute("aria-selected", "true");
      item?.scrollIntoView({ block: "nearest" });
      if (item) {
        this.box.setAttribute("aria-activedescendant", item.id);
      } else {
        this.box.removeAttribute("aria-activedescendant");
      }
    }

    key(event) {
      const count = this.found.length;
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (step !== undefined && count > 0) {
        event.preventDefault();
        this.mark((this.active + step + count) % count);
      } else if (event.key === "Enter" && this.active >= 0) {
        event.preventDefault();
        this.take(this.active);
      } else if (event.key === "Enter") {
        event.preventDefault();
        this.nothing();
      } else if (event.key === "Escape") {
        this.close();
      }
    }

    take(i) {
      const { device } = this.found[i];
      this.box.value = "";
      this.close();
      this.planner.add(device);
    }

    /** What is typed and not chosen is not in the answer, and that must not go unseen. */
    leave() {
      this.close();
      const typed = this.box.value.trim();
      const text = `“${typed}” is not chosen: the answer is without it.`;
      part("status").textContent = typed === "" ? "" : text;
    }

    nothing() {
      const typed = this.box.value.trim();
      const text = `No device matches “${typed}”: nothing is added.`;
      part("status").textContent = typed === "" ? "" : text;
    }

    close() {
      this.found = [];
      this.list.replaceChildren();
      this.list.hidden = true;
      this.box.setAttribute("aria-expanded", "false");
      this.mark(-1);
    }
  }

  const part = (name) => document.getElementById(`planner-${name}`);

  function decoded(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return text;
    }
  }

  /** Return the network; throw where the data is not that of the page. */
  function networkOf(root, files) {
    const own = files.find((data) => data.building === root.dataset.building);
    if (own === undefined) {
      throw new Error("the data of this building is missing");
    }
    if (own.key !== root.dataset.key) {
      throw new Error("the data is not of the same build as this page: load the page again");
    }
    return outage.joined(files);
  }

  function giveUp(error) {
    const text = `The planner cannot answer: ${error.message}.`;
    const line = outage.element("p", {}, outage.element("strong", {}, text));
    part("without").prepend(outage.element("section", { class: "rg-stop" }, line));
    part("without").hidden = false;
    document.getElementById("planner").hidden = true;
  }

  const root = document.getElementById("planner");
  root.hidden = false;
  part("without").hidden = true;
  try {
    outage.planner = new Planner(root, globalThis.outageData ?? []);
  } catch (error) {
    giveUp(error);
  }
})((globalThis.outage ??= {}));
