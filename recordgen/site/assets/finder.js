/* The finder: one box for panel and position, tag, room and words, in any order and mistyped.

   A word with a digit in it is taken as it stands: 14 is never 15, and lp2a is never lp2b. Words of
   letters may hold mistakes, or leave letters out ("recpt"). All words have to be met; where no
   entry has all of them, what is nearest is shown and called that. */
(() => {
  "use strict";

  const MOST = 30;
  const CHUNK = 800;
  const LEAST_LETTERS = 3;
  const FIELDS = ["tag", "circuits", "room", "text"];
  const BOOST = { tag: 4, circuits: 2, room: 2, text: 1 };

  const has_digit = (word) => /\d/.test(word);

  /* Return the words of a text; of a tag also what is between its dashes run together. */
  function words(text) {
    const found = [];
    for (const part of text.toLowerCase().split(/[\s,;:/()"']+/)) {
      if (!part) continue;
      const pieces = part.split(/[^\p{L}\p{N}]+/u).filter(Boolean);
      found.push(...pieces);
      if (pieces.length > 1) found.push(pieces.join(""));
    }
    return found;
  }

  /* Return a text without what stands between its letters and digits. */
  function bare(text) {
    return text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "");
  }

  /* Say whether a word leaves letters out of another, the first one never. */
  function leaves_out(short, long) {
    if (short[0] !== long[0] || long.length > short.length * 3) return false;
    let at = 0;
    for (const letter of long) if (letter === short[at]) at += 1;
    return at === short.length;
  }

  class Index {
    constructor(data) {
      this.data = data;
      this.letters = new Set();
      this.mini = new globalThis.MiniSearch({
        fields: FIELDS,
        tokenize: words,
        processTerm: (term) => {
          if (!has_digit(term)) this.letters.add(term);
          return term;
        },
      });
    }

    async fill() {
      const { data } = this;
      const documents = data.tag.map((tag, id) => ({
        id,
        tag,
        circuits: data.circuits[id].join(" "),
        room: `${data.rooms[data.room[id]]} ${data.room_names[data.room[id]]}`,
        text: `${data.text[id]} ${data.kinds[data.kind[id]]} ${data.also[data.kind[id]]}`,
      }));
      await this.mini.addAllAsync(documents, { chunkSize: CHUNK });
    }

    /* Return the places of what is found, best first, and whether all words were met. */
    search(text) {
      const typed = [...new Set(text.toLowerCase().split(/[\s,;:/()"']+/))].filter(Boolean);
      const parts = typed.flatMap((word) => this.asked(word, word === typed.at(-1)));
      if (!parts.length) return { found: [], all: true };
      const options = { boost: BOOST };
      let found = this.mini.search({ combineWith: "AND", queries: parts }, options);
      const all = found.length > 0;
      if (!all) found = this.mini.search({ combineWith: "OR", queries: parts }, options);
      return { found: this.by_tag(text, found.map((one) => one.id)), all };
    }

    /* Return places with those first whose tag is what was typed, then those that begin with it. */
    by_tag(text, places) {
      const typed = bare(text);
      const rank = (id) => {
        const tag = bare(this.data.tag[id]);
        return tag === typed ? 0 : tag.startsWith(typed) ? 1 : 2;
      };
      return [0, 1, 2].flatMap((wanted) => places.filter((id) => rank(id) === wanted));
    }

    /* Return what to ask for one typed word: each of its pieces. */
    asked(word, is_last) {
      const pieces = word.split(/[^\p{L}\p{N}]+/u).filter(Boolean);
      return pieces.map((piece, number) =>
        this.one(piece, is_last && number === pieces.length - 1),
      );
    }

    one(piece, is_last) {
      const plain = {
        fuzzy: false,
        prefix: () => true,
        tokenize: (text) => [text],
        processTerm: (term) => term,
      };
      if (has_digit(piece)) {
        return { ...plain, prefix: () => is_last, queries: [piece], combineWith: "OR" };
      }
      const queries = [piece];
      if (piece.length >= LEAST_LETTERS) {
        queries.push(...[...this.letters].filter((one) => leaves_out(piece, one)).slice(0, 8));
      }
      const fuzzy = () => (piece.length > 3 ? 0.25 : false);
      return { ...plain, fuzzy, queries, combineWith: "OR" };
    }
  }

  class Finder {
    constructor(root) {
      this.root = root;
      this.box = root.querySelector("input");
      this.list = root.querySelector("ol");
      this.status = root.querySelector("[role=status]");
      this.building = root.dataset.building;
      this.index = null;
      this.loading = null;
      root.hidden = false;
      this.box.addEventListener("focus", () => this.load());
      this.box.addEventListener("input", () => this.answer());
      this.box.addEventListener("keydown", (event) => {
        if (event.key === "Escape") this.clear();
        if (event.key === "Enter") this.list.querySelector("a")?.focus();
      });
      const asked = new URLSearchParams(location.hash.slice(1)).get("find");
      if (asked !== null || location.hash === "#find") {
        this.box.value = asked ?? "";
        this.box.focus();
        this.answer();
      }
    }

    /* Load the data once, when somebody begins: most visits of a page ask nothing. */
    load() {
      this.loading ??= new Promise((resolve) => {
        const script = document.createElement("script");
        script.src = this.root.dataset.file;
        script.onload = async () => {
          const data = globalThis.finderData.find((one) => one.building === this.building);
          const index = new Index(data);
          await index.fill();
          this.index = index;
          resolve();
        };
        script.onerror = () => {
          this.status.textContent = `${this.root.dataset.file} is missing beside this page.`;
        };
        document.head.append(script);
      });
      return this.loading;
    }

    async answer() {
      const text = this.box.value;
      if (!this.index) {
        this.status.textContent = "Loading …";
        await this.load();
        if (text !== this.box.value) return;
      }
      if (!text.trim()) {
        this.clear();
        return;
      }
      const { found, all } = this.index.search(text);
      this.list.replaceChildren(...found.slice(0, MOST).map((id) => this.line(id)));
      this.list.hidden = !found.length;
      this.status.textContent = said(found.length, all);
    }

    clear() {
      this.box.value = "";
      this.list.replaceChildren();
      this.list.hidden = true;
      this.status.textContent = "";
    }

    line(id) {
      const { data } = this.index;
      const kind = data.kinds[data.kind[id]];
      const room = data.rooms[data.room[id]];
      const item = document.createElement("li");
      const circuits = kind === "circuit" ? [data.tag[id]] : data.circuits[id];
      const head = made("p", "rg-found");
      head.append(this.link(data.tag[id], this.place(id), "rg-tag"));
      if (data.stop[id]) head.append(" ", made("strong", "rg-mark-stop", "STOP"));
      const what = [kind === data.tag[id] ? "" : kind, data.text[id]].filter(Boolean).join(": ");
      head.append(" ", what);
      item.append(head);
      const facts = made("p", "rg-found-facts");
      if (room && kind !== "room") {
        const href = data.room_pages[data.room[id]] ? this.filled("room", { room }) : "";
        facts.append("Room ", this.link(room, href), ". ");
      }
      if (data.grade[id]) {
        facts.append("Circuit ");
        if (!circuits.length) facts.append(made("span", "rg-unknown", "not recorded"));
        circuits.forEach((circuit, number) => {
          if (number) facts.append(", ");
          facts.append(this.link(circuit, this.of_circuit(circuit)));
        });
        const grade = data.grades[data.grade[id]];
        facts.append(" ", made("span", `rg-grade rg-grade--${grade}`, grade));
      }
      item.append(facts);
      const ways = made("p", "rg-found-ways");
      for (const circuit of circuits) {
        ways.append(this.link(`What ${circuit} darkens`, this.filled("device", tagged(circuit))));
      }
      const sheets = data.sheet[id] ? [data.tag[id]] : circuits;
      for (const tag of sheets) {
        ways.append(this.link(`Lockout sheet of ${tag}`, this.filled("sheet", tagged(tag))));
      }
      if (kind !== "room" && ways.childNodes.length) item.append(ways);
      return item;
    }

    /* Return the link to the page of an entry itself. */
    place(id) {
      const { data } = this.index;
      const kind = data.kinds[data.kind[id]];
      const tag = data.tag[id];
      if (kind === "circuit") return this.of_circuit(tag);
      if (kind === "panel") return this.filled("panel", { tag });
      if (kind === "room") return this.filled("room", { room: tag });
      if (!data.grade[id]) return this.filled("equipment", { tag });
      if (data.sheet[id]) return this.filled("sheet", { tag });
      const [circuit] = data.circuits[id];
      return circuit ? this.of_circuit(circuit) : "";
    }

    of_circuit(tag) {
      const { building, tag: own } = tagged(tag);
      const [panel, position] = own.split("/");
      if (!position) return this.filled("equipment", { building, tag: own });
      return this.filled("circuit", { building, tag: panel, position });
    }

    filled(kind, values) {
      const all = { ...values, building: values.building ?? this.building };
      const encoded = (text) => text.split("/").map(encodeURIComponent).join("/");
      return this.index.data.links[kind].replace(/\{(\w+)\}/g, (_, name) => encoded(all[name]));
    }

    link(text, href, style = "") {
      return href ? Object.assign(made("a", style, text), { href }) : made("span", style, text);
    }
  }

  /* Return a tag and the building it names, if it names one. */
  function tagged(text) {
    const [first, second] = text.split(":");
    return second === undefined ? { tag: first } : { building: first, tag: second };
  }

  function made(name, style, text = "") {
    const element = document.createElement(name);
    if (style) element.className = style;
    element.textContent = text;
    return element;
  }

  function said(count, all) {
    if (!count) return "Nothing is recorded by these words.";
    const shown = count > MOST ? `${count} found, the first ${MOST} are shown.` : `${count} found.`;
    return all ? shown : `No entry has all of these words. Nearest: ${shown}`;
  }

  for (const root of document.querySelectorAll(".rg-finder")) new Finder(root);
})();
