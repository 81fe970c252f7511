/* The words of an outage answer, as recordgen/pages/wording.py has them for the other pages. */
((outage) => {
  "use strict";

  /** Outcome → the class of its mark. */
  const OUTCOME_CLASS = {
    dark: "dark",
    "rides through, then dark": "rides-through",
    "may see abnormal voltage": "abnormal",
    "brief interruption, then standby": "interrupted",
    "loses standby or redundancy": "loses-standby",
    unaffected: "unaffected",
  };
  const NEUTRAL_LIVE = "its neutral stands at line voltage";
  const GRADES = ["confirmed", "traced", "unverified"];

  /** Return an outcome with how long, carried by what, and whether dark may not stay dead. */
  function outcomeText({ outcome, detail, may_be_energized_again: again }) {
    let text = outcome;
    if (outcome === "rides through, then dark") {
      text = `rides through (${detail || "time not recorded"}), then dark`;
    } else if (detail === NEUTRAL_LIVE) {
      text = `${outcome}, ${detail}`;
    } else if (outcome === "loses standby or redundancy" && detail) {
      text = `carried by ${detail}, then standby`;
    }
    return again && outcome.includes("dark") ? `${text}; may be energized again` : text;
  }

  /** Return a count with its noun, in the plural where there is not one. */
  function counted(count, noun) {
    return `${count} ${noun}${count === 1 ? "" : "s"}`;
  }

  /** Return outcome → the loads that have it, gravest first. */
  function byOutcome(loads) {
    const found = new Map();
    for (const outcome of outage.OUTCOMES) {
      const lines = loads.filter((line) => line.outcome === outcome);
      if (lines.length > 0) {
        found.set(outcome, lines);
      }
    }
    return found;
  }

  /** Return how well a list of loads is known. */
  function evidenceText(loads) {
    const counts = GRADES.map(
      (grade) => `${loads.filter((line) => line.evidence === grade).length} ${grade}`,
    );
    return `How well the list is known: ${counts.join(", ")}.`;
  }

  /** Return a message as a sentence: a capital first and a full stop last. */
  function sentence(text) {
    const [first = "", ...rest] = text;
    return `${first.toUpperCase()}${rest.join("")}${/[.?!]$/.test(text) ? "" : "."}`;
  }

  outage.OUTCOME_CLASS = OUTCOME_CLASS;
  outage.outcomeText = outcomeText;
  outage.counted = counted;
  outage.byOutcome = byOutcome;
  outage.evidenceText = evidenceText;
  outage.sentence = sentence;
})((globalThis.outage ??= {}));
