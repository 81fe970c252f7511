/* What stays live in the enclosures of opened devices, and from which sources. The same as
   recordgen/pages/live.py and recordgen/network/live_sources.py. */
((outage) => {
  "use strict";

  /** Return what stays live in enclosures, and what shares a neutral with opened circuits. */
  function liveLines(network, opening, boxes, own) {
    const find = new LiveSources(network, opening.whole);
    const found = new Map();
    const ordinary = new Map();
    for (const box of new Set(boxes)) {
      for (const { zone, what } of box.inside) {
        const sources = find.of(zone).map((source) => source.tag);
        if (sources.length === 0) {
          continue;
        }
        const lines = isOrdinary(find, box, zone) ? ordinary : found;
        const key = JSON.stringify([box.tag, sources]);
        if (!lines.has(key)) {
          lines.set(key, { enclosure: box.tag, sources, whats: [] });
        }
        lines.get(key).whats.push(what || "conductors");
      }
    }
    for (const [key, { whats, ...line }] of ordinary) {
      const text = `load terminals of ${whats.length} other circuit${whats.length > 1 ? "s" : ""}`;
      if (!found.has(key)) {
        found.set(key, { ...line, whats: [] });
      }
      found.get(key).whats.push(text);
    }
    const lines = [...found.values()].map(({ enclosure, sources, whats }) => ({
      enclosure,
      what: whats.join(", "),
      sources,
    }));
    for (const circuit of own) {
      for (const partner of sharingNeutral(circuit)) {
        if (!opening.whole.has(partner)) {
          const what = `neutral shared with ${outage.local(partner.tag)} carries its current`;
          lines.push({ enclosure: circuit.tag, what, sources: [] });
        }
      }
    }
    return lines;
  }

  /** Say whether a zone is live through a device of the box: as live as its bus, no surprise. */
  function isOrdinary(find, box, zone) {
    return zone.circuits.some(
      (circuit) => circuit.tag.startsWith(`${box.tag}/`) && find.comesThrough(zone, circuit),
    );
  }

  /** Return the circuits that share the neutral of a circuit. */
  function sharingNeutral({ circuitZone }) {
    const couplings = circuitZone === null ? [] : circuitZone.near;
    return couplings
      .filter((near) => near.is === "coupling" && near.sharedNeutral)
      .flatMap(({ zones }) => (zones[0] === circuitZone ? zones[1] : zones[0]).circuits);
  }

  /** Says which sources a node is live from while some devices are open.

      Every node has a shortest way to a source, known beforehand: from that source it is live as
      long as no open device stands on the way. What is cut off is live from all those sources that
      its surroundings, with a clear way of their own, are live from. */
  class LiveSources {
    constructor(network, opened) {
      this.network = network;
      this.opened = opened;
      this.clear = new Map();
      this.cutOff = new Map();
      this.distance = new Map();
    }

    /** Return the sources that a node is live from, utilities first; none where it is dead. */
    of(node) {
      const clear = this.onKnownWay(node);
      if (clear !== null) {
        return [clear];
      }
      if (!this.cutOff.has(node)) {
        this.lookAround(node);
      }
      return this.cutOff.get(node);
    }

    /** Say whether a live node is live through a device next to it, and not from behind. */
    comesThrough(node, device) {
      if (this.onKnownWay(node) !== null) {
        return this.network.towards.get(node) === device;
      }
      const farthest = this.distance.size;
      return (this.distance.get(device) ?? farthest) < (this.distance.get(node) ?? 0);
    }

    /** Return the source at the end of the known way, null where it is cut or leads nowhere. */
    onKnownWay(node) {
      const { towards } = this.network;
      if (!towards.has(node)) {
        return null;
      }
      const chain = [];
      let here = node;
      while (here !== null && !this.clear.has(here) && !this.opened.has(here)) {
        chain.push(here);
        here = towards.get(here);
      }
      let source = null;
      if (here === null) {
        source = chain.at(-1);
      } else if (!this.opened.has(here)) {
        source = this.clear.get(here);
      }
      chain.forEach((link) => this.clear.set(link, source));
      return source;
    }

    /** Find the sources next to everything cut off that hangs together with a node. */
    lookAround(node) {
      const seen = new Set([node]);
      const edge = new Set();
      for (const here of seen) {
        for (const near of here.near) {
          if (!seen.has(near) && !this.opened.has(near)) {
            (this.onKnownWay(near) === null ? seen : edge).add(near);
          }
        }
      }
      const order = this.network.sourceOrder;
      const sources = [...new Set([...edge].map((near) => this.onKnownWay(near)))];
      sources.sort((a, b) => order.get(a) - order.get(b));
      seen.forEach((one) => this.cutOff.set(one, sources));
      this.measure(edge, seen);
    }

    /** Count the steps from the live surroundings to everything cut off. */
    measure(edge, cutOff) {
      const distance = new Map([...edge].map((near) => [near, 0]));
      for (const [here, steps] of distance) {
        for (const near of here.near) {
          if (cutOff.has(near) && !distance.has(near)) {
            distance.set(near, steps + 1);
            this.distance.set(near, steps + 1);
          }
        }
      }
    }
  }

  outage.liveLines = liveLines;
})((globalThis.outage ??= {}));
