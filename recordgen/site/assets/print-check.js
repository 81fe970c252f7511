/* The check of an old print. Its code leads to the page with #print=REVISION,DATE: the page then
   says at the very top whether the print still says what the page says, and if not, what is dated
   since. What stands behind # is only ever text. The changes come as a script of data: from a file,
   a page may load no other kind. */
(() => {
  "use strict";

  const SHOWN = 12;
  const LONGEST = 60;
  const MARK = "#print=";

  const head = document.querySelector(".rg-sheet-head[data-revision]");
  if (!head) return;
  const { building, site, revision, asOf } = head.dataset;
  let box = null;
  let asked = 0;

  function element(name, text, parent) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (parent) parent.append(made);
    return made;
  }

  /* Return what stands behind the mark: revision and day, or neither where it cannot be read. */
  function print_of(hash) {
    let text = hash.slice(MARK.length);
    try {
      text = decodeURIComponent(text);
    } catch {
      // It stays as it is, and is not one that we wrote.
    }
    const read = /^([0-9a-f]{8,64}),(\d{4}-\d{2}-\d{2})$/.exec(text);
    const is_day = read && !Number.isNaN(Date.parse(`${read[2]}T00:00:00Z`));
    return is_day ? { text, revision: read[1], date: read[2] } : { text };
  }

  function load(name) {
    return new Promise((done) => {
      const wanted = `${site}/${name}/changes-data.js`;
      const script = document.createElement("script");
      script.src = wanted;
      const found = () => (globalThis.changesData ?? []).find((data) => data.building === name);
      if (found()) return done(found());
      script.onload = () => done(found());
      script.onerror = () => done(undefined);
      document.head.append(script);
    });
  }

  /* Return the tags that a page names. */
  function named() {
    const text = head.parentElement.textContent;
    const words = text.match(/[A-Za-z0-9][A-Za-z0-9._:/-]*/g) ?? [];
    return new Set(words.map((word) => word.replace(/[.:/-]+$/, "")));
  }

  function change_list(heading, changes, parent) {
    if (!changes.length) return;
    element("h3", `${heading} (${changes.length})`, parent);
    const list = element("ul", "", parent);
    let rest = list;
    changes.forEach(({ place, date, record, what, by, link }, index) => {
      if (index === SHOWN) {
        const more = element("details", "", parent);
        element("summary", `${changes.length - SHOWN} more`, more);
        rest = element("ul", "", more);
      }
      const item = element("li", "", rest);
      element("strong", date, item);
      item.append(place ? ` ${place}: ` : " ");
      const name = element(link ? "a" : "span", record, item);
      if (link) name.href = `${site}/${link}`;
      item.append(`: ${what}${by ? `, ${by}` : ""}`);
    });
  }

  async function tell_changes(print, parent, turn) {
    const place = element("div", "", parent);
    const own = await load(building);
    const others = await Promise.all((own?.with ?? []).map(load));
    if (turn !== asked) return;
    const tags = named();
    const own_part = `${building}:`;
    const here = [];
    const elsewhere = [];
    for (const data of [own, ...others]) {
      for (const [date, record, what, by, about, link] of data?.changes ?? []) {
        if (date < print.date) continue;
        const place_name = data.building === building ? "" : data.name;
        const known = about.some((tag) => tags.has(tag) || (tag.startsWith(own_part) && tags.has(tag.slice(own_part.length))));
        (known ? here : elsewhere).push({ place: place_name, date, record, what, by, link });
      }
    }
    const latest = (one, other) => (one.date < other.date ? 1 : one.date > other.date ? -1 : 0);
    const missing = !own || others.includes(undefined);
    if (missing) element("p", "The list of changes could not be loaded whole.", place);
    if (here.length + elsewhere.length) {
      element("p", `Dated ${print.date} or later in the records:`, place);
    } else if (!missing) {
      element("p", `Nothing in the records is dated ${print.date} or later.`, place);
    }
    change_list("About what this page names", here.sort(latest), place);
    change_list("The rest of the connected records", elsewhere.sort(latest), place);
    element(
      "p",
      "Changes without a date, and those written down later than their date, stand in the version history of the records.",
      place,
    );
  }

  function tell() {
    asked += 1;
    box?.remove();
    box = null;
    if (!location.hash.startsWith(MARK)) return;
    const print = print_of(location.hash);
    box = document.createElement("section");
    box.setAttribute("role", "alert");
    box.tabIndex = -1;
    head.parentElement.prepend(box);
    const is_current = print.revision === revision;
    box.className = `rg-print-check ${is_current ? "rg-note" : "rg-stop"}`;
    if (is_current) {
      // A page that the browser kept says so at its top; what the server has now, it cannot know.
      const kept = document.querySelector(".rg-kept");
      if (kept) box.className = "rg-print-check rg-warning";
      const says = "This print says what the kept page says; whether that is current is not known";
      element("h2", kept ? says : "This print is current", box);
      element(
        "p",
        `Revision ${revision}, printed as of ${print.date}, is what this copy of the site says as of ${asOf}. A copy kept on a phone or a stick may be old: look at its date. Test before touch.`,
        box,
      );
    } else if (!print.revision) {
      element("h2", "Do not use this print: its code cannot be read", box);
      const cut = print.text.length > LONGEST ? `${print.text.slice(0, LONGEST)} …` : print.text;
      element("p", `The code says “${cut}”. Compare by eye: this page is revision ${revision}, as of ${asOf}.`, box);
    } else if (print.date > asOf) {
      element("h2", "Do not use this print: it and this page differ", box);
      element(
        "p",
        `The print is revision ${print.revision} of ${print.date}; this page is revision ${revision} of ${asOf}, and older. Get a newer copy of the site, and use neither until then.`,
        box,
      );
    } else {
      element(
        "h2",
        `Do not use this print: revision ${print.revision} of ${print.date}, the page is now revision ${revision}`,
        box,
      );
      element("p", `Print this page again; it is as of ${asOf}.`, box);
      tell_changes(print, box, asked);
    }
    globalThis.scrollTo(0, 0);
    box.focus({ preventScroll: true });
  }

  globalThis.addEventListener("hashchange", tell);
  tell();
})();
