/* What happens when devices are opened: the answer of `recordgen downstream --format json`, key
   for key and in the same order. The same as recordgen/network/downstream.py, outcomes.py and
   impaired.py, and recordgen/pages/outage_answer.py.

   This is a second implementation of an answer that people rely on. Whoever changes it changes
   the one in Python too; tests/planner holds the two against each other. */
((outage) => {
  "use strict";

  const OUTCOMES = [
    "dark",
    "rides through, then dark",
    "may see abnormal voltage",
    "brief interruption, then standby",
    "loses standby or redundancy",
    "unaffected",
  ]; // gravest first
  const GRAVE = ["life safety", "critical"]; // first on every list
  const LOST = OUTCOMES.slice(0, 3); // what depends on such a load is left without it

  /** Return what happens when devices (full tags) are opened, from the "normal" or the "present"
      switch positions. */
  function answer(network, tags, positions = "normal") {
    const supply = supplyOf(network, positions);
    const opening = openingOf(network, tags);
    const found = downstream(supply, opening);
    const devices = [...opening.asked, ...opening.tied];
    const boxes = devices.map((device) => device.box);
    const loads = found.affected.map((affected) => ({ ...affected, detail: detail(affected) }));
    loads.sort((a, b) => graveness(a.load) - graveness(b.load) || gravity(a) - gravity(b));
    const buildings = new Set(devices.map((device) => device.building));
    const subjects = [...devices, ...boxes, ...found.unknown, ...loads.map(({ load }) => load)];
    return {
      opened: opening.asked.map((device) => outage.local(device.tag)),
      opens_too: opening.tied.map((device) => outage.local(device.tag)),
      positions,
      loads: loads.map(loadLine),
      leaning: found.impaired.map(({ tag, needs }) => ({
        tag,
        is_source: network.sourceOf.has(tag),
        needs,
      })),
      circuits_with_unknown_loads: found.unknown.map((circuit) => circuit.tag),
      loads_with_unknown_source: [...network.nowhere]
        .filter(([building]) => buildings.has(building))
        .flatMap(([, names]) => names),
      still_live: outage.liveLines(network, opening, boxes, devices),
      notify: contactsToTell(network, devices, loads),
      stop: stops(network, subjects.map(({ tag }) => tag)),
    };
  }

  function supplyOf(network, positions) {
    network.supplies ??= {};
    network.supplies[positions] ??= new outage.Supply(network, positions);
    return network.supplies[positions];
  }

  /** Return what opens when somebody opens devices: handles that are tied go together. */
  function openingOf(network, tags) {
    const asked = [...new Set(tags)].map((tag) => network.deviceOf.get(tag));
    if (asked.includes(undefined)) {
      throw new Error("there is no such device");
    }
    const together = new Set(asked.flatMap((device) => [device, ...device.opensWith]));
    return {
      asked,
      tied: [...together].filter((device) => !asked.includes(device)),
      devices: together,
      whole: new Set([...together].filter((device) => device.opensAll)),
      partial: new Set([...together].filter((device) => !device.opensAll)),
    };
  }

  // What happens to the loads.

  function downstream(supply, opening) {
    const { network } = supply;
    const found = outage.losses(supply, opening);
    const outcomes = outcomesOfGroups(supply, found);
    const grave = new Map();
    for (const { load } of outcomes.keys()) {
      grave.set(load.tag, worst(load, outcomes));
    }
    const suffering = impaired(network, grave, found.lost.automatic);
    const gone = suffering
      .map(({ tag }) => network.sourceOf.get(tag))
      .filter((source) => source !== undefined);
    for (const group of weakened(supply, opening, gone)) {
      if (!outcomes.has(group)) {
        outcomes.set(group, { outcome: "loses standby or redundancy", carrying: [] });
      }
    }
    const loads = [...new Set([...outcomes.keys()].map((group) => group.load))];
    const energized = energizedPast(network, opening.whole);
    return {
      affected: loads
        .sort((a, b) => a.order - b.order)
        .map((load) => ofLoad(load, outcomes, energized))
        .sort((a, b) => gravity(a) - gravity(b)),
      unknown: network.unknownCircuits.filter(({ circuitZone }) =>
        found.lost.normal.has(circuitZone),
      ),
      impaired: suffering,
    };
  }

  const gravity = ({ outcome }) => OUTCOMES.indexOf(outcome);

  /** Return group of feeds → {outcome, carrying}, for those not complete in the normal state. */
  function outcomesOfGroups(supply, found) {
    const outcomes = new Map();
    for (const node of found.lost.normal) {
      const groups = supply.network.groupsAt.get(node) ?? [];
      if (groups.length > 0) {
        const happening = ofNode(supply, found, node);
        groups.forEach((group) => outcomes.set(group, happening));
      }
    }
    return outcomes;
  }

  function ofNode(supply, { lost, live }, node) {
    if (!lost.automatic.has(node)) {
      if (lost.battery.has(node)) {
        return { outcome: "brief interruption, then standby", carrying: [] };
      }
      const carrying = carryingOn(supply, node, lost.normal, lost.battery);
      return { outcome: "loses standby or redundancy", carrying };
    }
    if (!lost.bridged.has(node)) {
      const carrying = carryingOn(supply, node, lost.automatic, lost.bridged);
      return { outcome: "rides through, then dark", carrying };
    }
    const zones = node.is === "zone" ? [node] : [...supply.graphs.automatic.before(node)];
    const mayBeLive = zones.some((zone) => live.has(zone));
    return { outcome: mayBeLive ? "may see abnormal voltage" : "dark", carrying: [] };
  }

  /** Return the UPSs that carry a node on their batteries, nearest the sources first.

      `lost` is what no source supplies but a battery may; `dead` what no battery does either. A
      node with several feeds is carried by the UPSs above those that are not dead. */
  function carryingOn(supply, node, lost, dead) {
    const tree = supply.trees.automatic;
    const zones = node.is === "zone" ? [node] : [...supply.graphs.automatic.before(node)];
    const feeds = zones.filter((zone) => !dead.has(zone));
    const above = new Set(feeds.flatMap((feed) => tree.above(feed)));
    return [...above].filter((one) => one.kind === "UPS" && lost.has(one.zones[1]));
  }

  function weakened(supply, opening, gone) {
    return supply.redundancy.flatMap((places) => places.weakened(opening, gone));
  }

  /** Return the worst outcome of the feeds that a load needs. */
  function worst(load, outcomes) {
    const each = load.groups.map((group) => outcomes.get(group)?.outcome ?? "unaffected");
    // Control power is no leg: without it the load stops, and its legs are none the worse.
    const legs = each.slice(0, load.circuits.length);
    const control = each.slice(load.circuits.length);
    const hit = legs.filter((one) => one === "dark" || one === "may see abnormal voltage");
    if (load.legsTogether && hit.length > 0 && hit.length < legs.length) {
      return control.includes("dark") ? "dark" : "may see abnormal voltage";
    }
    return each.reduce((a, b) => (OUTCOMES.indexOf(b) < OUTCOMES.indexOf(a) ? b : a));
  }

  function ofLoad(load, outcomes, energized) {
    const outcome = worst(load, outcomes);
    const hit = load.groups.filter((group) => outcomes.has(group));
    const carrying = hit
      .map((group) => outcomes.get(group))
      .filter((one) => one.outcome === outcome)
      .flatMap((one) => one.carrying);
    const again =
      outcome !== "loses standby or redundancy" &&
      hit.some((group) => group.zones.some((zone) => energized.has(zone)));
    return { load, outcome, carrying: [...new Set(carrying)], again };
  }

  /** Return everything that a source can reach past open devices, in any state of the switches. */
  function energizedPast(network, opened) {
    const seen = new Set(network.sources);
    for (const node of seen) {
      for (const near of node.near) {
        if (!opened.has(near)) {
          seen.add(near);
        }
      }
    }
    return seen;
  }

  /** Return what needs, besides its feeds, something lost, over any number of steps. */
  function impaired(network, grave, lost) {
    let found = new Map();
    let size = -1;
    while (size !== countOf(found)) {
      size = countOf(found);
      const more = new Map();
      for (const { tag, needs } of network.depends) {
        const lacking = needs.filter(
          (need) =>
            LOST.includes(grave.get(need.tag)) || found.has(need.tag) || lost.has(need.zone),
        );
        if (lacking.length > 0) {
          more.set(tag, lacking.map((need) => need.tag));
        }
      }
      found = more;
    }
    return [...found].map(([tag, needs]) => ({ tag, needs }));
  }

  const countOf = (lists) => [...lists.values()].reduce((sum, list) => sum + list.length, 0);

  // What the records say of the loads.

  function loadLine({ load, outcome, detail, again }) {
    return {
      tag: load.tag,
      circuit: load.circuits,
      room: load.room || null,
      outcome,
      detail: detail || null,
      may_be_energized_again: again,
      evidence: load.grade,
    };
  }

  function detail({ carrying }) {
    return carrying
      .map((ups) => `${outage.local(ups.tag)}: ${ups.rideThrough || "time not recorded"}`)
      .join("; ");
  }

  function graveness({ criticality }) {
    return GRAVE.includes(criticality) ? GRAVE.indexOf(criticality) : GRAVE.length;
  }

  /** Return whom to tell, everyone once: those named for a load first. */
  function contactsToTell(network, devices, loads) {
    const named = new Map();
    const buildings = new Set(devices.map((device) => device.building));
    for (const { load } of loads) {
      buildings.add(load.building);
      for (const role of load.notify) {
        const key = `${load.building}:${role}`;
        if (!named.has(key)) {
          named.set(key, { building: load.building, role, tags: [] });
        }
        named.get(key).tags.push(outage.local(load.tag));
      }
    }
    const contacts = new Map();
    for (const building of buildings) {
      for (const contact of network.contacts.get(building)) {
        contacts.set(`${building}:${contact.role.toLowerCase()}`, { building, ...contact });
      }
    }
    const found = [];
    for (const { building, role, tags } of named.values()) {
      const key = `${building}:${role.toLowerCase()}`;
      const contact = contacts.get(key);
      contacts.delete(key);
      const when = contact?.when ? `${contact.when}; ` : "";
      const phone = contact?.phone || null;
      found.push({ role, phone, when: `${when}for ${tags.join(", ")}`, building });
    }
    for (const { building, role, phone, when } of contacts.values()) {
      found.push({ role, phone: phone || null, when: when || "any outage", building });
    }
    return found;
  }

  /** Return every STOP that touches any of some full tags, in order of place. */
  function stops(network, tags) {
    const found = new Map();
    for (const tag of new Set(tags)) {
      for (const stop of network.stopsOf.get(tag) ?? []) {
        const { subjects, leaning, ...same } = stop; // who is touched makes no other problem of it
        const key = JSON.stringify(same);
        if (!found.has(key)) {
          found.set(key, stop);
        }
      }
    }
    return [...found.values()].sort(
      (a, b) => byCodePoint(a.path, b.path) || a.line - b.line || a.column - b.column,
    );
  }

  /** Compare texts as Python does: JavaScript's own order differs beyond the basic plane. */
  function byCodePoint(one, other) {
    const [a, b] = [[...one], [...other]];
    for (let i = 0; i < Math.min(a.length, b.length); i += 1) {
      if (a[i] !== b[i]) {
        return a[i].codePointAt(0) - b[i].codePointAt(0);
      }
    }
    return a.length - b.length;
  }

  outage.OUTCOMES = OUTCOMES;
  outage.answer = answer;
})((globalThis.outage ??= {}));
