/* Where supply has more than one way in, and which of them are lost. The same as
   recordgen/network/redundancy.py. */
((outage) => {
  "use strict";

  /** The places with several inputs of which one is enough, in one supply graph.

      A place is a zone, or a group of feeds. An input is {from, device}: the zone, or source, that
      it comes from and the device between (none at a load). `above` is everything on some way to
      the place, and `groups` what leans on it: the groups of feeds it stands on every way to. */
  class Redundancy {
    constructor(supply, name) {
      this.supply = supply;
      this.name = name;
      this.graph = supply.graphs[name];
      this.tree = supply.trees[name];
      this.known = null;
    }

    get places() {
      if (this.known === null) {
        const { zones, groupsAt } = this.supply.network;
        const nodes = new Set([...zones, ...groupsAt.keys()]);
        this.known = [...nodes].map((node) => this.placeAt(node)).filter((place) => place !== null);
      }
      return this.known;
    }

    placeAt(node) {
      if (!this.tree.supplied(node)) {
        return null;
      }
      const inputs = this.inputs(node);
      if (inputs.length < 2) {
        return null;
      }
      const { groupsAt } = this.supply.network;
      const groups = [node, ...this.tree.below(node)].flatMap((one) => groupsAt.get(one) ?? []);
      return groups.length > 0 ? { node, inputs, above: this.above(node, inputs), groups } : null;
    }

    /** Return the ways in that are supplied without passing the place itself. */
    inputs(node) {
      const ways = [];
      for (const before of this.graph.before(node)) {
        if (before.is === "device") {
          const zones = [...this.graph.before(before)].filter((zone) => zone !== node);
          zones.forEach((zone) => ways.push({ from: zone, device: before }));
        } else {
          ways.push({ from: before, device: null });
        }
      }
      const { tree } = this;
      return ways.filter(({ from }) => tree.supplied(from) && !tree.governs(node, from));
    }

    /** Return everything on a way to a place, without arcs that lead back to where they came. */
    above(node, inputs) {
      const found = new Set();
      for (const { from, device } of inputs) {
        found.add(from);
        if (device !== null) {
          found.add(device);
        }
      }
      for (const here of found) {
        for (const before of this.graph.before(here)) {
          const leadsOn = before !== node && before !== outage.ROOT && this.tree.supplied(before);
          // Nothing new comes by an arc back to what governs its tail.
          if (leadsOn && !this.tree.governs(here, before)) {
            found.add(before);
          }
        }
      }
      return found;
    }

    /** Return the places that stand below any of some devices and sources. */
    under(nodes) {
      return this.places.filter((place) => nodes.some((node) => place.above.has(node)));
    }

    /** Return the groups that lean on a place that has lost an input, and still has one. An input
        needs all the conductors that it had; `gone` are sources that may not start. */
    weakened(opening, gone) {
      const { conductors } = this.supply;
      const nothing = outage.NOTHING_OPENED;
      const found = [];
      for (const place of this.under([...opening.devices, ...gone])) {
        const { node, inputs } = place;
        const none = new Map();
        const within = new Set([...place.above, node]);
        const before = conductors.arriving(this.name, nothing, within, node, none);
        gone.forEach((source) => within.delete(source));
        const after = conductors.arriving(this.name, opening, within, node, before);
        const had = inputs.map((way) => this.brought(nothing, way, before, [], none));
        const has = inputs.map((way) => this.brought(opening, way, after, gone, before));
        if (had.some((legs, i) => (legs & ~has[i]) !== 0) && has.some((legs) => legs !== 0)) {
          found.push(...place.groups);
        }
      }
      return found;
    }

    /** Return the conductors that one way brings into a place. */
    brought(opening, { from, device }, arriving, gone, required) {
      if (from.is === "source") {
        return gone.includes(from) ? 0 : from.legs;
      }
      const legs = arriving.get(from) ?? 0;
      const { conductors } = this.supply;
      return device === null
        ? legs
        : conductors.passed(this.name, opening, device, from, legs, required);
    }
  }

  outage.Redundancy = Redundancy;
})((globalThis.outage ??= {}));
