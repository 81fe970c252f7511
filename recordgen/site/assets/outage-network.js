/* The network of some buildings, joined from the data that the build wrote for each of them.

   Everything is an object: a zone (conductors with no device between them), a device, a coupling, a
   source, a load, and a group of feeds of which one is enough. Lists keep the order of the records,
   so that answers come out in the order that the commands give them. */
((outage) => {
  "use strict";

  /** Return the network of buildings whose data hangs together; throw where some is missing. */
  function joined(files) {
    const parts = [...files].sort((a, b) => (a.building < b.building ? -1 : 1));
    checkWhole(parts);
    const network = emptyNetwork();
    const zonesByName = new Map();
    const readers = parts.map((data) => new outage.Reader(data, zonesByName));
    readers.forEach((reader) => reader.addZones(network));
    readers.forEach((reader) => reader.addThings(network));
    network.couplings.sort((a, b) => a.rank - b.rank);
    joinNeighbours(network);
    findTowards(network);
    findGroups(network);
    return network;
  }

  /** An answer from a part of the network would leave out sources: better none. */
  function checkWhole(parts) {
    const keys = new Map(parts.map((data) => [data.building, data.key]));
    for (const data of parts) {
      for (const other of data.together) {
        if (!keys.has(other)) {
          throw new Error(`the data of ${other}, which hangs on ${data.building}, is missing`);
        }
        if (keys.get(other) !== data.key) {
          throw new Error(`the data of ${other} and of ${data.building} are not of the same build`);
        }
      }
    }
  }

  function emptyNetwork() {
    return {
      names: new Map(), // building → its name
      zones: [],
      devices: [],
      couplings: [],
      sources: [],
      loads: [],
      boxes: [],
      deviceOf: new Map(), // full tag → device
      sourceOf: new Map(),
      loadOf: new Map(),
      unknownCircuits: [], // circuits whose loads are not recorded
      depends: [], // {tag, needs: [{tag, zone}]}: what is needed besides feeds
      contacts: new Map(), // building → [{role, phone, when}]
      nowhere: new Map(), // building → full tags of loads whose source is not recorded
      stopsOf: new Map(), // full tag → the problems that say STOP
      roomNames: new Map(), // building:room → name
    };
  }

  /** Give every node its neighbours in the network of everything that conducts. */
  function joinNeighbours(network) {
    const things = [...network.devices, ...network.couplings, ...network.sources];
    for (const thing of things) {
      for (const zone of new Set(thing.zones)) {
        zone.near.push(thing);
        thing.near.push(zone);
      }
      thing.near.sort((a, b) => a.order - b.order);
    }
  }

  /** Find, for every node, the next one on a shortest way to a source: utilities first. */
  function findTowards(network) {
    const utilities = network.sources.filter((source) => source.kind === "utility");
    const others = network.sources.filter((source) => source.kind !== "utility");
    network.sourceOrder = new Map([...utilities, ...others].map((source, i) => [source, i]));
    network.towards = new Map(network.sources.map((source) => [source, null]));
    for (const sources of [utilities, others]) {
      const queue = [...sources];
      for (const node of queue) {
        for (const near of node.near) {
          if (!network.towards.has(near)) {
            network.towards.set(near, node);
            queue.push(near);
          }
        }
      }
    }
  }

  /** Find what hangs on every node, and where the legs of a load, or its windings, meet. */
  function findGroups(network) {
    network.groupsAt = new Map(); // node → groups of feeds, in order of the records
    network.legsMeeting = new Map(); // zone of one leg of a load → the zones of all its legs
    network.bridged = new Map(); // zone → zones that a load puts voltage on when it is live
    for (const load of network.loads) {
      for (const group of load.groups) {
        outage.addTo(network.groupsAt, group.node, group);
        group.zones.forEach((zone) => joinTo(network.bridged, zone, [zone]));
      }
      if (load.legsTogether) {
        const legs = load.groups.slice(0, load.circuits.length).flatMap((group) => group.zones);
        legs.forEach((zone) => joinTo(network.legsMeeting, zone, legs));
      }
    }
    for (const [zone, meeting] of network.legsMeeting) {
      joinTo(network.bridged, zone, meeting);
    }
    for (const circuit of network.unknownCircuits) {
      joinTo(network.bridged, circuit.circuitZone, [circuit.circuitZone]);
    }
  }

  function joinTo(sets, key, values) {
    if (!sets.has(key)) {
      sets.set(key, new Set());
    }
    for (const value of values) {
      sets.get(key).add(value);
    }
  }

  outage.joined = joined;
})((globalThis.outage ??= {}));
