/* Shows an outage answer as elements of the page. Text of the records is only ever set as text. */
((outage) => {
  "use strict";

  const COLUMNS = ["Load", "What happens", "What it is", "Room", "Circuit", "Evidence"];

  /** Return an element with attributes and children, which are elements or texts. */
  function element(name, attributes = {}, ...children) {
    const found = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) {
      found.setAttribute(key, value);
    }
    found.append(...children.flat());
    return found;
  }

  /** Return some elements with a text between each two. */
  function between(items, text) {
    return items.flatMap((item, i) => (i === 0 ? [item] : [text, item]));
  }

  /** Return text with what stands between backticks as code. */
  function coded(text) {
    const parts = text.split("`");
    if (parts.length % 2 === 0) {
      return [text];
    }
    return parts.map((part, i) => (i % 2 === 1 ? element("code", {}, part) : part));
  }

  const unknown = () => element("span", { class: "rg-unknown" }, "not recorded");
  const orUnknown = (text) => text || unknown();

  /** Makes the elements of answers about a network, as a page of one building names things. */
  class Sheet {
    constructor(network, home, links) {
      this.network = network;
      this.home = home;
      this.links = links;
    }

    /** Return a full tag as people of the page's building say it. */
    name(tag) {
      return outage.buildingOf(tag) === this.home ? outage.local(tag) : tag;
    }

    // Links.

    linkTo(kind, parts) {
      let link = this.links[kind];
      for (const [name, value] of Object.entries(parts)) {
        const encoded = encodeURIComponent(value).replaceAll("%2F", "/");
        link = link.replaceAll(`{${name}}`, encoded);
      }
      return link;
    }

    /** Return a tag as a link, or as plain text where there is no page about it. */
    tag(tag, kind, more = {}) {
      if (kind === null) {
        return element("span", { class: "rg-tag" }, this.name(tag));
      }
      const parts = { building: outage.buildingOf(tag), tag: outage.local(tag), ...more };
      return element("a", { class: "rg-tag", href: this.linkTo(kind, parts) }, this.name(tag));
    }

    device(tag) {
      return this.tag(tag, this.network.deviceOf.has(tag) ? "device" : null);
    }

    circuit(tag) {
      if (this.network.deviceOf.get(tag)?.kind !== "circuit device") {
        return this.device(tag);
      }
      const [panel, position] = outage.local(tag).split("/");
      return this.tag(tag, "circuit", { tag: panel, position });
    }

    load(tag) {
      return this.tag(tag, this.network.loadOf.get(tag)?.hasSheet ? "sheet" : null);
    }

    room(building, room) {
      const name = this.network.roomNames.get(`${building}:${room}`);
      if (room === "" || name === undefined) {
        return orUnknown(room);
      }
      const href = this.linkTo("room", { building, room });
      return element("a", { class: "rg-tag", href }, room);
    }

    tags(tags, one) {
      return between(tags.map(one), ", ");
    }

    // The answer, part by part.

    /** Return what the first screen says: how many loads have which outcome. */
    summary(answer) {
      const { loads, stop } = answer;
      const parts = [];
      if (stop.length > 0) {
        const many = outage.counted(stop.length, "notice");
        const link = element("a", { href: "#planner-stops" }, `${many} on what this touches`);
        const mark = element("strong", { class: "rg-mark-stop" }, "STOP");
        parts.push(element("p", {}, mark, " ", link, ": do not rely on this plan."));
      }
      if (loads.length === 0) {
        parts.push(element("p", {}, element("strong", {}, "No recorded load is affected.")));
      } else {
        const total = `${outage.counted(loads.length, "load")} affected`;
        const counts = [...outage.byOutcome(loads)].map(([outcome, lines]) =>
          element("li", {}, `${lines.length} `, mark(outcome, outcome)),
        );
        parts.push(element("p", {}, element("strong", {}, total)));
        parts.push(element("ul", { class: "rg-counts" }, counts));
        parts.push(element("p", {}, outage.evidenceText(loads)));
      }
      return [...parts, ...this.alsoTouched(answer)];
    }

    alsoTouched(answer) {
      const parts = [];
      const strong = (text) => element("strong", {}, text);
      const { circuits_with_unknown_loads: circuits, loads_with_unknown_source: loads } = answer;
      if (circuits.length > 0) {
        const text = `${outage.counted(circuits.length, "circuit")} too, loads not recorded`;
        parts.push(element("p", {}, strong(text)));
      }
      if (loads.length > 0) {
        const text = `${outage.counted(loads.length, "load")} of unknown source may go dark too`;
        parts.push(element("p", {}, strong(text)));
      }
      if (answer.leaning.length > 0) {
        const lines = answer.leaning.map((one) => this.leaning(one));
        parts.push(element("p", {}, strong("Leans on what goes dark:")), element("ul", {}, lines));
      }
      return parts;
    }

    /** Return what warns of an answer from the normal positions, where switches stand otherwise. */
    otherwiseToday(answer, now, moved) {
      const known = new Set(answer.loads.map((line) => line.tag));
      const more = now.loads.filter((line) => !known.has(line.tag));
      const each = moved.map((device) => `${this.name(device.tag)} ${device.present}`).join(", ");
      const mark = element("strong", { class: "rg-mark-stop" }, "STOP");
      const start = ` Switches stand otherwise today (${each}). This answer starts from the normal `;
      const verb = more.length === 1 ? "is" : "are";
      const count = outage.counted(more.length, "more load");
      const parts = [mark, start, `positions; from the present ones ${count} ${verb} affected`];
      if (more.length > 0) {
        const tags = more.map((line) => line.tag);
        parts.push(": ", ...this.tags(tags, (tag) => this.load(tag)));
      }
      return [element("p", {}, parts, ".")];
    }

    /** Return the notices that say STOP, with an id to lead to if there is one to be given. */
    stops(problems, id) {
      if (problems.length === 0) {
        return [];
      }
      const lines = problems.map(({ message, hint, path, line, column }) => {
        const text = [message, hint].filter((part) => part).map(outage.sentence).join(" ");
        const place = element("span", { class: "rg-origin" }, `${path}:${line}:${column}`);
        return element("li", {}, coded(text), " ", place);
      });
      const heading = element("h2", id ? { id } : {}, "STOP: do not rely on this plan");
      return [element("section", { class: "rg-stop" }, heading, element("ul", {}, lines))];
    }

    /** Return everything below the first screen. */
    whole(answer, devices) {
      return [
        ...this.stops(answer.stop, "planner-stops"),
        heading("What is opened"),
        this.opened(answer, devices),
        heading("Loads"),
        ...this.loads(answer.loads),
        ...this.again(answer.loads),
        ...this.unknowns(answer),
        heading("Stays live"),
        this.stillLive(answer.still_live),
        heading("Whom to tell"),
        this.notify(answer.notify),
      ];
    }

    opened(answer, devices) {
      const lines = devices.map((device) => {
        const parts = [this.device(device.tag), " ", orUnknown(device.rating)];
        parts.push(device.title ? `, ${device.title}` : "", "; room ");
        parts.push(this.room(device.building, device.room));
        if (device.present) {
          parts.push("; ", element("strong", {}, `stands ${device.present} now`));
        }
        const isTied = answer.opens_too.includes(outage.local(device.tag));
        parts.push(isTied ? "; opens too, handles tied" : "");
        return element("li", {}, parts);
      });
      const positions = answer.positions === "present" ? "recorded present" : "normal";
      const from = `The answer starts from the ${positions} switch positions.`;
      return element("div", {}, element("ul", {}, lines), element("p", {}, from));
    }

    loads(loads) {
      if (loads.length === 0) {
        return [element("p", {}, "None recorded.")];
      }
      return [...outage.byOutcome(loads)].flatMap(([outcome, lines]) => [
        element("h3", {}, mark(outcome, outcome), ` ${outage.counted(lines.length, "load")}`),
        this.table(lines),
      ]);
    }

    table(lines) {
      const head = COLUMNS.map((text) => element("th", { scope: "col" }, text));
      return element(
        "table",
        { class: "rg-table rg-stack" },
        element("thead", {}, element("tr", {}, head)),
        element("tbody", {}, lines.map((line) => this.row(line))),
      );
    }

    row(line) {
      const load = this.network.loadOf.get(line.tag);
      const first = element("th", { scope: "row" }, this.load(line.tag));
      if (this.network.stopsOf.has(line.tag)) {
        first.append(" ", element("strong", { class: "rg-mark-stop" }, "STOP"));
      }
      if (load.criticality && load.criticality !== "routine") {
        first.append(" ", element("strong", {}, load.criticality));
      }
      const circuits = this.tags(line.circuit, (tag) => this.circuit(tag));
      const name = `rg-grade rg-grade--${line.evidence}`;
      const grade = element("span", { class: name }, line.evidence);
      if (load.reason) {
        grade.setAttribute("title", load.reason);
      }
      const cells = [
        mark(line.outcome, outage.outcomeText(line)),
        load.title ? `${load.kind}: ${load.title}` : load.kind,
        this.room(load.building, load.room),
        circuits.length > 0 ? circuits : unknown(),
        grade,
      ];
      const rest = cells.map((cell, i) => element("td", { "data-label": COLUMNS[i + 1] }, cell));
      return element("tr", {}, first, rest);
    }

    again(loads) {
      const tags = loads.filter((line) => line.may_be_energized_again).map((line) => line.tag);
      if (tags.length === 0) {
        return [];
      }
      const text = element(
        "p",
        {},
        element("strong", {}, "Dark is not dead."),
        " Something recorded could energize these again while the chosen devices stay open: ",
        this.tags(tags, (tag) => this.load(tag)),
        ". Work on them only by their lockout sheets.",
      );
      return [element("section", { class: "rg-warning" }, text)];
    }

    unknowns(answer) {
      const { circuits_with_unknown_loads: circuits, loads_with_unknown_source: loads } = answer;
      const parts = [];
      if (answer.leaning.length > 0) {
        const lines = answer.leaning.map((one) => this.leaning(one));
        parts.push(heading("Leans on what goes dark"), element("ul", {}, lines));
      }
      if (circuits.length > 0) {
        const tags = this.tags(circuits, (tag) => this.circuit(tag));
        parts.push(heading("Goes dark, loads not recorded"), element("p", {}, tags));
      }
      if (loads.length > 0) {
        const tags = this.tags(loads, (tag) => this.load(tag));
        parts.push(heading("Source not recorded: may go dark too"), element("p", {}, tags));
      }
      return parts;
    }

    leaning({ tag, is_source: isSource, needs }) {
      const load = this.network.loadOf.get(tag);
      const what = isSource ? this.network.sourceOf.get(tag).text : load.title || load.kind;
      const consequence = isSource ? "may not start or carry" : "may stop working";
      const needed = this.tags(needs, (need) =>
        this.network.loadOf.has(need) ? this.load(need) : this.circuit(need),
      );
      return element("li", {}, this.load(tag), ` (${what}) ${consequence}: it needs `, needed);
    }

    stillLive(lines) {
      if (lines.length === 0) {
        return element("p", {}, "Nothing is recorded in the same enclosures.");
      }
      const items = lines.map(({ enclosure, what, sources }) => {
        const names = sources.map((source) => this.name(source)).join(", ");
        const from = names === "" ? "" : `, at least from ${names}`;
        return element("li", {}, element("strong", {}, this.name(enclosure)), `: ${what}${from}`);
      });
      return element("ul", {}, items);
    }

    notify(contacts) {
      if (contacts.length === 0) {
        return element("p", {}, unknown());
      }
      const items = contacts.map(({ role, phone, when, building }) => {
        const where = building === this.home ? "" : ` (${building})`;
        const number = phone ? `, ${phone}` : "";
        return element("li", {}, element("strong", {}, role), `${where}${number} (${when})`);
      });
      return element("ul", {}, items);
    }
  }

  const heading = (text) => element("h2", {}, text);

  /** Return the mark of an outcome: a shape and a word. */
  function mark(outcome, text) {
    const name = `rg-outcome rg-outcome--${outage.OUTCOME_CLASS[outcome]}`;
    return element("span", { class: name }, text);
  }

  outage.element = element;
  outage.Sheet = Sheet;
})((globalThis.outage ??= {}));
