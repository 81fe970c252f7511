/* The filter of a fault history. Without it the page shows every fault; with it, those that fit.

   What is chosen stands in the address, `#kind=short&from=2025-01-01`, and nowhere else: what is
   shown always comes from there, so a link, the back button and a reload all do the same. A fault
   without a recorded day stays in any period: what is not known is not left out. */
(() => {
  "use strict";

  const KEYS = ["building", "at", "kind", "state", "from", "to", "words"];
  const TEXT = "text"; // what a row says, for the words
  const WAIT_MS = 250; // while somebody types, the address stays as it is

  class FaultFilter {
    constructor(form, says) {
      this.form = form;
      this.says = says;
      this.rows = [...document.querySelectorAll("tr[data-fault]")].map((row) => ({
        row,
        data: row.dataset,
        [TEXT]: folded(row.textContent),
      }));
      this.years = [...document.querySelectorAll("[data-year]")];
      form.hidden = false;
      says.hidden = false;
      const scope = document.getElementById("figures-scope");
      if (scope) {
        scope.hidden = false;
      }
      this.listen();
      this.show({});
      this.follow();
    }

    listen() {
      window.addEventListener("hashchange", () => this.follow());
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.form.addEventListener("reset", (event) => {
        event.preventDefault();
        this.choose({});
      });
      this.form.addEventListener("input", () => {
        window.clearTimeout(this.waiting);
        this.waiting = window.setTimeout(() => this.choose(this.written()), WAIT_MS);
      });
    }

    /** Return what the form says: key → value, without what is left open. */
    written() {
      const found = {};
      for (const key of KEYS) {
        const value = this.field(key)?.value.trim();
        if (value) {
          found[key] = value;
        }
      }
      return found;
    }

    field(key) {
      return this.form.elements.namedItem(key);
    }

    /** Put what is chosen into the address, and show it. */
    choose(chosen) {
      const hash = new URLSearchParams(chosen).toString();
      if (window.location.hash.slice(1) === hash) {
        this.show(chosen);
      } else {
        window.location.hash = hash; // and `follow` is called
      }
    }

    /** Show what the address says. An anchor of the page leaves the filter as it is. */
    follow() {
      const raw = window.location.hash.slice(1);
      const hash = raw.includes("=") ? raw : decoded(raw); // pages write `=` as %3D
      if (hash && !hash.includes("=")) {
        return;
      }
      const said = new URLSearchParams(hash);
      const chosen = {};
      for (const key of KEYS) {
        const value = said.get(key);
        if (value && this.field(key)) {
          chosen[key] = value;
        }
      }
      for (const key of KEYS) {
        this.fill(key, chosen);
      }
      this.show(chosen);
    }

    /** Put a value into its field; one that the field cannot take is said as it is. */
    fill(key, chosen) {
      const field = this.field(key);
      if (!field) {
        return;
      }
      const value = chosen[key] ?? "";
      if (field.tagName === "SELECT" && value && !optionOf(field, value)) {
        field.append(new Option(`${value} (none here)`, value));
      }
      if (field !== document.activeElement || field.value.trim() !== value) {
        field.value = value;
      }
      if (field.value !== value && field.type === "date") {
        delete chosen[key]; // no day that there is
      }
    }

    show(chosen) {
      const words = folded(chosen.words ?? "").split(" ").filter(Boolean);
      let count = 0;
      let undated = 0;
      for (const { row, data, [TEXT]: text } of this.rows) {
        const fits = this.fits(data, chosen) && words.every((word) => text.includes(word));
        row.hidden = !fits;
        count += fits ? 1 : 0;
        undated += fits && !data.found ? 1 : 0;
      }
      for (const year of this.years) {
        year.hidden = ![...year.querySelectorAll("tr[data-fault]")].some((row) => !row.hidden);
      }
      this.say(chosen, count, undated);
    }

    fits(data, chosen) {
      const { building, at, kind, state, from, to } = chosen;
      const places = data.at.split(" ").filter(Boolean);
      return (
        (!building || data.building === building) &&
        (!at || places.includes(at)) &&
        (!kind || data.kind === kind) &&
        (!state || inState(data, state)) &&
        (!data.found || ((!from || data.found >= from) && (!to || data.found <= to)))
      );
    }

    /** Say in words what is shown; it is printed above the tables, too. */
    say(chosen, count, undated) {
      const parts = KEYS.filter((key) => chosen[key]).map((key) => {
        const field = this.field(key);
        const label = this.form.querySelector(`label[for="${field.id}"]`).textContent;
        const value = field.tagName === "SELECT" ? optionOf(field, chosen[key]).text : chosen[key];
        return `${label.toLowerCase()} ${value}`;
      });
      const all = this.rows.length;
      let text = `${count} of ${all} fault${all === 1 ? "" : "s"} shown`;
      text += parts.length ? `. Filter: ${parts.join("; ")}.` : ", no filter.";
      if ((chosen.from || chosen.to) && undated) {
        text += ` ${undated} of them without a recorded day, so that the period cannot tell.`;
      }
      if (chosen.from && chosen.to && chosen.from > chosen.to) {
        text += " The period ends before it begins.";
      }
      if (this.says.textContent !== text) {
        this.says.textContent = text;
      }
    }
  }

  function inState(data, state) {
    if (state === "gaps") {
      return data.gaps === "yes";
    }
    if (state === "open") {
      return data.state !== "closed";
    }
    return data.state === (state === "none" ? "" : state);
  }

  function optionOf(field, value) {
    return [...field.options].find((option) => option.value === value);
  }

  function decoded(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return text; // no address that a page wrote
    }
  }

  function folded(text) {
    return text.normalize("NFKC").toLowerCase().replace(/\s+/g, " ").trim();
  }

  const form = document.getElementById("fault-filter");
  const says = document.getElementById("fault-filter-says");
  if (form && says) {
    new FaultFilter(form, says);
  }
})();
