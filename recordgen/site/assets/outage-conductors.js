/* Supply conductor by conductor. The same as recordgen/network/conductors.py, without single poles
   and neutrals.

   A set of ungrounded conductors is a number: A is 1, B is 2, C is 4. What arrives for certain is
   asked first; what may be live at all also comes through windings, and through loads between two
   conductors. */
((outage) => {
  "use strict";

  const NOTHING = { whole: new Set(), partial: new Set(), devices: new Set() };

  /** The conductors of every zone, in each supply graph. Masks are maps, zone → conductors. */
  class Conductors {
    constructor(supply) {
      this.supply = supply;
      this.known = {}; // graph → what every zone has with nothing opened
    }

    /** Return what every zone has with nothing opened. */
    had(name) {
      if (!(name in this.known)) {
        const forward = this.flow(name, { made: forwardOnly });
        const made = madeWith(forward);
        const every = this.flow(name, { made });
        this.known[name] = this.flow(name, { made, required: every });
      }
      return this.known[name];
    }

    /** Return what arrives for certain while something is open.

        `within` is what to look at (all, without it); nothing may pass the zone `without`;
        `required` is what every zone needs to be complete: what it has with nothing opened. */
    arriving(name, opening, within, without, required = this.had(name)) {
      const made = madeWith(this.had(name));
      return this.flow(name, { opening, required, made, within, without });
    }

    flow(name, { opening = NOTHING, required = new Map(), made, within, without }) {
      const graph = this.supply.graphs[name];
      const found = new Map();
      const queue = [];
      const arrive = (zone, legs) => {
        const before = found.get(zone) ?? 0;
        if (legs & ~before && zone !== without && (within?.has(zone) ?? true)) {
          found.set(zone, before | legs);
          queue.push(zone);
        }
      };
      this.starts(graph, opening, within).forEach(([zone, legs]) => arrive(zone, legs));
      for (const zone of queue) {
        for (const [device, head] of hops(graph, zone)) {
          const passed = this.passed(name, opening, device, zone, found.get(zone), required);
          if (passed !== 0) {
            arrive(head, device.converts ? made(device, head) : passed);
          }
        }
      }
      return found;
    }

    /** Return which of the conductors that arrive at a zone pass a device from there.

        What converts passes all or nothing: all, where everything required is there. */
    passed(name, opening, device, zone, legs, required) {
      if (opening.devices.has(device)) {
        return 0;
      }
      const needed = required.get(zone) ?? 0;
      const isWhole = (legs & needed) === needed;
      if (device.converts) {
        return isWhole ? legs : 0;
      }
      return isWhole || !this.waits(name, device, zone) ? legs & this.legs(device) : 0;
    }

    legs(device) {
      return device.legs[this.supply.positions];
    }

    /** Say whether a transfer switch goes over to a side only when that is complete. */
    waits(name, device, zone) {
      const stands =
        name === "normal" ||
        name === "battery" ||
        this.supply.graphs.normal.leads(zone, device);
      return device.kind === "transfer switch" && !stands;
    }

    /** Return the transfer switches that leave by themselves the side on which they stand, since it
        has lost a conductor and another is complete. Until then everything behind them is dark. */
    goneOver(opening) {
      const { normal, automatic } = this.supply.graphs;
      const within = this.supply.around("automatic", opening.devices);
      const had = this.had("automatic");
      const has = this.arriving("automatic", opening, within);
      const isComplete = (zone) => ((has.get(zone) ?? 0) & had.get(zone)) === had.get(zone);
      return [...within].filter((device) => {
        if (device.kind !== "transfer switch") {
          return false;
        }
        const sides = [...automatic.before(device)].filter((zone) => had.has(zone));
        const standsOn = sides.filter((zone) => normal.leads(zone, device));
        const others = sides.filter((zone) => !normal.leads(zone, device));
        return !standsOn.every(isComplete) && others.some(isComplete);
      });
    }

    starts(graph, opening, within) {
      const found = [];
      for (const source of graph.after(outage.ROOT)) {
        if (!(within?.has(source) ?? true)) {
          continue;
        }
        const through = [...graph.after(source)].filter((node) => node.is === "device");
        if (through.some((device) => opening.whole.has(device))) {
          continue; // the battery of a UPS that is switched off
        }
        source.zones.forEach((zone) => found.push([zone, source.legs]));
      }
      return found;
    }

    /** Return which conductors may be live while something is open, at whatever voltage. */
    live(name, opening, within) {
      const graph = this.supply.graphs[name];
      const had = this.had(name);
      const made = madeWith(had);
      const sure = this.arriving(name, opening, within);
      const bridged = this.supply.network.bridged;
      const found = new Map();
      const queue = [];
      const arrive = (zone, legs) => {
        const before = found.get(zone) ?? 0;
        if (legs & ~before && within.has(zone)) {
          found.set(zone, before | legs);
          queue.push(zone);
        }
      };
      this.starts(graph, opening, within).forEach(([zone, legs]) => arrive(zone, legs));
      for (const zone of queue) {
        (bridged.get(zone) ?? []).forEach((other) => arrive(other, had.get(other) ?? 0));
        for (const [device, head] of hops(graph, zone)) {
          const isWhole = sure.get(zone) === had.get(zone);
          if (opening.whole.has(device) || (!isWhole && this.waits(name, device, zone))) {
            continue;
          }
          if (device.converts) {
            arrive(zone, had.get(zone) ?? 0);
            arrive(head, made(device, head));
          } else {
            arrive(head, found.get(zone) & this.legs(device));
          }
        }
      }
      return found;
    }

    /** Return the nodes that no longer have all they had: zones, and groups of several feeds. */
    incomplete(name, opening) {
      const within = this.supply.around(name, opening.devices);
      const had = this.had(name);
      const has = this.arriving(name, opening, within);
      const lost = new Set();
      for (const zone of within) {
        if (had.has(zone) && ((has.get(zone) ?? 0) & had.get(zone)) !== had.get(zone)) {
          lost.add(zone);
        }
      }
      for (const node of within) {
        if (node.is === "group") {
          const fed = node.zones.filter((zone) => had.has(zone));
          if (fed.every((zone) => lost.has(zone))) {
            lost.add(node);
          }
        }
      }
      return lost;
    }
  }

  /** Return [device, zone behind it] for every way on from a zone. */
  function hops(graph, zone) {
    const found = [];
    for (const device of graph.after(zone)) {
      if (device.is === "device") {
        for (const head of graph.after(device)) {
          if (head !== zone) {
            found.push([device, head]);
          }
        }
      }
    }
    return found;
  }

  /** What a device makes, and nothing towards its line side. */
  const forwardOnly = (device, head) => (head === device.lineZone ? 0 : device.makes);

  /** Return a function: device, zone → the conductors that the device makes there. */
  function madeWith(had) {
    return (device, head) =>
      head === device.lineZone ? had.get(head) || device.lineMakes : device.makes;
  }

  outage.NOTHING_OPENED = NOTHING;
  outage.Conductors = Conductors;
})((globalThis.outage ??= {}));
