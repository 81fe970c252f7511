/* What carries the load: directed graphs from the sources down, and what is lost in them when
   devices are opened. The same as recordgen/network/supply_graphs.py and losses.py.

   - normal: utility, devices in their normal (or recorded present) position;
   - battery: the same with the batteries of UPSs, which carry for a while;
   - automatic: with all that acts by itself, and generators that start by themselves;
   - bridged: the same with the batteries;
   - possible: with all that somebody can switch over, close or start by hand. */
((outage) => {
  "use strict";

  const { ROOT, Graph, Dominators } = outage;
  const GRAPHS = ["normal", "battery", "automatic", "bridged", "possible"];
  const AT_FIRST = new Set(["normal", "battery"]); // before anything has acted by itself

  /** The supply graphs of a network for one set of switch positions, "normal" or "present". */
  class Supply {
    constructor(network, positions) {
      this.network = network;
      this.positions = positions;
      const normal = new Graph();
      this.addSources(normal, (source) => positions === "present" && source.runsNow);
      this.addWays(normal, "standing");
      this.addGroups(normal);
      const automatic = normal.copy();
      this.addSources(automatic, (source) => source.startsByItself);
      this.addWays(automatic, "standby");
      const possible = automatic.copy();
      this.addSources(possible, () => true);
      this.addWays(possible, "possible");
      this.leaveOutBackfeeding(possible);
      this.graphs = {
        normal,
        battery: this.withBatteries(normal),
        automatic,
        bridged: this.withBatteries(automatic),
        possible,
      };
      this.trees = {};
      for (const name of GRAPHS) {
        this.trees[name] = new Dominators(this.graphs[name]);
      }
      this.conductors = new outage.Conductors(this);
      this.redundancy = ["automatic", "possible"].map((name) => new outage.Redundancy(this, name));
    }

    /** Put the utilities above a graph, and the other sources that are started. */
    addSources(graph, isStarted) {
      for (const source of this.network.sources) {
        if (source.carriesLoad && (source.kind === "utility" || isStarted(source))) {
          graph.add(ROOT, source);
          source.zones.forEach((zone) => graph.add(source, zone));
        }
      }
    }

    addWays(graph, which) {
      for (const device of this.network.devices) {
        for (const [start, end] of device.ways[this.positions][which]) {
          graph.add(start, device);
          graph.add(device, end);
        }
      }
    }

    addGroups(graph) {
      for (const load of this.network.loads) {
        for (const { zones, node } of load.groups) {
          zones.filter((zone) => zone !== node).forEach((zone) => graph.add(zone, node));
        }
      }
    }

    /** Nobody feeds a transformer backwards to carry loads. */
    leaveOutBackfeeding(graph) {
      for (const device of this.network.devices) {
        if (device.kind === "transformer") {
          const [line, load] = device.zones;
          graph.remove(load, device);
          graph.remove(device, line);
        }
      }
    }

    withBatteries(graph) {
      const found = graph.copy();
      for (const source of this.network.sources) {
        if (source.ups !== null) {
          found.add(ROOT, source);
          found.add(source, source.ups);
          source.zones.forEach((zone) => found.add(source.ups, zone));
        }
      }
      return found;
    }

    /** Return everything supplied that hangs together with devices, below the sources. */
    around(name, devices) {
      const graph = this.graphs[name];
      const tree = this.trees[name];
      const seen = new Set([...devices].filter((device) => tree.supplied(device)));
      for (const node of seen) {
        for (const near of [...graph.after(node), ...graph.before(node)]) {
          if (tree.supplied(near) && near !== ROOT) {
            seen.add(near); // a set goes on to what is added while one walks it
          }
        }
      }
      return seen;
    }
  }

  /** Return {lost, live}: for each graph the nodes that no longer have all they had, and the zones
      among those lost in the automatic graph where something may be live all the same. Everything
      is followed conductor by conductor: where whole devices open, that gives what walking gives. */
  function losses(supply, opening) {
    const goneOver = supply.conductors.goneOver(opening);
    const atFirst = {
      ...opening,
      whole: new Set([...opening.whole, ...goneOver]),
      devices: new Set([...opening.devices, ...goneOver]),
    };
    const lost = {};
    for (const name of GRAPHS) {
      lost[name] = supply.conductors.incomplete(name, AT_FIRST.has(name) ? atFirst : opening);
    }
    const within = withLegs(supply, supply.around("automatic", opening.devices));
    const live = supply.conductors.live("automatic", opening, within);
    return { lost, live: new Set([...live.keys()].filter((zone) => lost.automatic.has(zone))) };
  }

  /** Return nodes with all that hangs together with other legs of loads in them: through a load,
      voltage comes from parts that have nothing else to do with what is opened. */
  function withLegs(supply, nodes) {
    const { legsMeeting } = supply.network;
    for (const node of nodes) {
      for (const leg of legsMeeting.get(node) ?? []) {
        if (!nodes.has(leg)) {
          nodes.add(leg); // a set goes on to what is added while one walks it
          supply.around("automatic", [leg]).forEach((near) => nodes.add(near));
        }
      }
    }
    return nodes;
  }

  outage.Supply = Supply;
  outage.losses = losses;
})((globalThis.outage ??= {}));
