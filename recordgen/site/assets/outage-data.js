/* Reads the data that the build wrote for a building into a network. What its tables hold is said
   in recordgen/pages/planner_data.py and planner_tables.py. */
((outage) => {
  "use strict";

  const ALL_LEGS = 7;

  /** Reads the data of one building. */
  class Reader {
    constructor(data, zonesByName) {
      this.data = data;
      this.zonesByName = zonesByName;
      this.zones = [];
      this.boxes = [];
      this.devices = [];
    }

    full(tag) {
      return `${this.data.building}:${tag}`;
    }

    /** Return a text by its number in the list of words; empty where nothing is recorded. */
    word(number) {
      return number === undefined ? "" : this.data.words[number];
    }

    /** Return a zone: by its number in this building, or by its name in another one. */
    zone(reference) {
      const found =
        typeof reference === "number" ? this.zones[reference] : this.zonesByName.get(reference);
      if (found === undefined) {
        throw new Error(`the data of ${this.data.building} names a zone that is missing`);
      }
      return found;
    }

    /** Return the full tag of a device of this building by its number, or a full tag as it is. */
    tag(reference) {
      const isNumber = typeof reference === "number";
      return isNumber ? this.full(this.data.devices.tag[reference]) : reference;
    }

    addZones(network) {
      for (let number = 0; number < this.data.zones; number += 1) {
        const zone = { is: "zone", order: network.zones.length, near: [], circuits: [] };
        network.zones.push(zone);
        this.zones.push(zone);
      }
      for (const [number, name] of Object.entries(this.data.named_zones)) {
        this.zonesByName.set(name, this.zones[number]);
      }
    }

    addThings(network) {
      const { building, name } = this.data;
      network.names.set(building, name);
      this.addBoxes(network);
      this.addDevices(network);
      this.addCouplings(network);
      this.addSources(network);
      this.addLoads(network);
      this.addRemarks(network);
    }

    addBoxes(network) {
      const { tag, zones, what } = this.data.boxes;
      tag.forEach((local, i) => {
        const inside = zones[i].map((zone, j) => ({
          zone: this.zone(zone),
          what: this.word(what[i][j]),
        }));
        this.boxes.push({ tag: this.full(local), inside });
      });
      network.boxes.push(...this.boxes);
    }

    addDevices(network) {
      const table = this.data.devices;
      table.tag.forEach((local, i) => {
        const zones = table.zones[i].map((zone) => this.zone(zone));
        const legs = table.legs[i] ?? ALL_LEGS;
        const [makes, lineMakes] = table.makes[i] ?? [0, 0];
        const device = {
          is: "device",
          tag: this.full(local),
          building: this.data.building,
          kind: this.word(table.kind[i]),
          box: this.boxes[table.box[i]],
          zones,
          near: [],
          ways: {
            normal: this.ways(table.ways[i], zones),
            present: this.ways(table.present_ways[i] ?? table.ways[i], zones),
          },
          // The conductors it carries when closed; all that there are, if not recorded.
          legs: { normal: legs, present: table.present_legs[i] ?? legs },
          opensAll: true,
          converts: i in table.makes,
          makes,
          lineMakes,
          lineZone: i in table.line_zone ? zones[table.line_zone[i]] : null,
          opensWith: [],
          title: this.word(table.title[i]),
          rating: this.word(table.rating[i]),
          room: this.word(table.room[i]),
          present: this.word(table.present[i]),
          rideThrough: this.word(table.ride_through[i]),
          circuitZone: null,
        };
        if (device.kind === "circuit device") {
          device.circuitZone = zones[1];
          device.circuitZone.circuits.push(device);
        }
        this.devices.push(device);
        network.devices.push(device);
        network.deviceOf.set(device.tag, device);
      });
      table.partial.forEach((i) => {
        this.devices[i].opensAll = false;
      });
      for (const [i, others] of Object.entries(table.opens_with)) {
        this.devices[i].opensWith = others.map((other) => this.devices[other]);
      }
      network.unknownCircuits.push(...this.data.unknown_loads.map((i) => this.devices[i]));
    }

    /** Return what a device can join: {standing, standby, possible}, each [[from, to], …]. */
    ways(pattern, zones) {
      const [standing, standby, possible] = this.data.ways[pattern].map((ways) =>
        ways.map(([start, end]) => [zones[start], zones[end]]),
      );
      return { standing, standby, possible };
    }

    addCouplings(network) {
      for (const [rank, isNeutral, first, second] of this.data.couplings) {
        const zones = [this.zone(first), this.zone(second)];
        const sharedNeutral = isNeutral === 1;
        network.couplings.push({ is: "coupling", rank, sharedNeutral, zones, near: [] });
      }
    }

    addSources(network) {
      const table = this.data.sources;
      table.tag.forEach((local, i) => {
        const battery = table.battery[i];
        const source = {
          is: "source",
          tag: this.full(local),
          kind: this.word(table.kind[i]),
          text: this.word(table.text[i]),
          zones: table.zones[i].map((zone) => this.zone(zone)),
          near: [],
          legs: table.legs[i] ?? ALL_LEGS,
          startsByItself: table.starts.includes(i),
          runsNow: table.running.includes(i),
          carriesLoad: table.carries.includes(i),
          ups: battery === undefined ? null : this.devices[battery],
        };
        network.sources.push(source);
        network.sourceOf.set(source.tag, source);
      });
    }

    addLoads(network) {
      const table = this.data.loads;
      table.tag.forEach((local, i) => {
        const load = {
          tag: this.full(local),
          building: this.data.building,
          order: network.loads.length,
          kind: this.word(table.kind[i]),
          title: this.word(table.title[i]),
          room: this.word(table.room[i]),
          criticality: this.word(table.criticality[i]),
          notify: (table.notify[i] ?? []).map((role) => this.word(role)),
          circuits: table.circuits[i].map((circuit) => this.tag(circuit)),
          grade: this.word(table.grade[i]),
          reason: this.word(table.reason[i]),
          hasSheet: table.sheet.includes(i),
          legsTogether: table.legs_together.includes(i),
          groups: [],
        };
        load.groups = table.groups[i].map((zones, index) =>
          feedGroup(load, index, zones.map((zone) => this.zone(zone))),
        );
        network.loads.push(load);
        network.loadOf.set(load.tag, load);
      });
    }

    addRemarks(network) {
      const { building, contacts, depends, nowhere, rooms, stops } = this.data;
      for (const [local, needs] of depends) {
        const found = needs.map(([tag, zone]) => ({
          tag,
          zone: zone === null ? null : this.zone(zone),
        }));
        network.depends.push({ tag: this.full(local), needs: found });
      }
      network.contacts.set(
        building,
        contacts.map(([role, phone, when]) => ({ role, phone, when })),
      );
      if (nowhere.length > 0) {
        const tags = nowhere.map((i) => this.full(this.data.loads.tag[i]));
        network.nowhere.set(building, tags);
      }
      for (const [room, name] of rooms) {
        network.roomNames.set(this.full(this.word(room)), this.word(name));
      }
      for (const stop of stops) {
        const own = [...stop.subjects, ...stop.leaning].filter((tag) => buildingOf(tag) === building);
        own.forEach((tag) => addTo(network.stopsOf, tag, stop));
      }
    }
  }

  /** Return a group of feeds, and the node it hangs on: its zone, or one of its own above them. */
  function feedGroup(load, index, zones) {
    const group = { is: "group", load, index, zones };
    group.node = new Set(zones).size === 1 ? zones[0] : group;
    return group;
  }

  function addTo(lists, key, value) {
    if (!lists.has(key)) {
      lists.set(key, []);
    }
    lists.get(key).push(value);
  }

  const buildingOf = (tag) => tag.slice(0, tag.indexOf(":"));

  outage.buildingOf = buildingOf;
  outage.local = (tag) => tag.slice(tag.indexOf(":") + 1);
  outage.addTo = addTo;
  outage.Reader = Reader;
})((globalThis.outage ??= {}));
