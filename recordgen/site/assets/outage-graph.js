/* Directed graphs below one root, and what every way through them passes. The same as
   recordgen/network/dominators.py. */
((outage) => {
  "use strict";

  /** The node above all sources. */
  const ROOT = { is: "root" };

  /** A directed graph that keeps the order in which nodes and arcs were added. */
  class Graph {
    constructor() {
      this.succ = new Map();
      this.pred = new Map();
    }

    add(tail, head) {
      for (const node of [tail, head]) {
        if (!this.succ.has(node)) {
          this.succ.set(node, new Set());
          this.pred.set(node, new Set());
        }
      }
      this.succ.get(tail).add(head);
      this.pred.get(head).add(tail);
    }

    remove(tail, head) {
      this.succ.get(tail)?.delete(head);
      this.pred.get(head)?.delete(tail);
    }

    leads(tail, head) {
      return this.succ.get(tail)?.has(head) ?? false;
    }

    after(node) {
      return this.succ.get(node) ?? [];
    }

    before(node) {
      return this.pred.get(node) ?? [];
    }

    copy() {
      const found = new Graph();
      for (const node of this.succ.keys()) {
        found.succ.set(node, new Set());
        found.pred.set(node, new Set());
      }
      for (const [tail, heads] of this.succ) {
        heads.forEach((head) => found.add(tail, head));
      }
      return found;
    }
  }

  /** What every way from the sources to a node passes through.

      Method: Cooper, Harvey and Kennedy, "A Simple, Fast Dominance Algorithm", 2001. */
  class Dominators {
    constructor(graph) {
      const order = fromTheSources(graph); // ROOT first, every node before what it leads on to
      const place = new Map(order.map((node, i) => [node, i]));
      const before = order.map((node) =>
        [...graph.before(node)].filter((one) => place.has(one)).map((one) => place.get(one)),
      );
      const above = nearestAbove(before);
      this.parent = new Map(); // node → the nearest one that every way to it passes through
      for (let i = 1; i < order.length; i += 1) {
        this.parent.set(order[i], order[above[i]]);
      }
      this.number(order);
    }

    number(order) {
      const children = new Map(order.map((node) => [node, []]));
      for (const [node, parent] of this.parent) {
        children.get(parent).push(node);
      }
      this.enter = new Map();
      this.leave = new Map();
      this.inOrder = [];
      const stack = [{ node: ROOT, done: false }];
      while (stack.length > 0) {
        const { node, done } = stack.pop();
        if (done) {
          this.leave.set(node, this.inOrder.length);
          continue;
        }
        this.enter.set(node, this.inOrder.length);
        this.inOrder.push(node);
        stack.push({ node, done: true });
        children.get(node).forEach((child) => stack.push({ node: child, done: false }));
      }
    }

    /** Say whether any source reaches a node. */
    supplied(node) {
      return this.enter.has(node);
    }

    /** Return everything that is reached only through a node, without the node itself. */
    below(node) {
      return this.inOrder.slice(this.enter.get(node) + 1, this.leave.get(node));
    }

    /** Say whether every way to `other` passes `node`. */
    governs(node, other) {
      const at = this.enter.get(other);
      return this.enter.get(node) <= at && at < this.leave.get(node);
    }

    /** Return what governs a node, from the sources down to next to it. */
    above(node) {
      const found = [];
      let here = this.parent.get(node) ?? ROOT;
      while (here !== ROOT) {
        found.unshift(here);
        here = this.parent.get(here);
      }
      return found;
    }
  }

  /** Return what the sources reach, in reverse postorder of a depth-first search. */
  function fromTheSources(graph) {
    const found = [];
    const seen = new Set([ROOT]);
    const stack = [{ node: ROOT, rest: [...graph.after(ROOT)] }];
    while (stack.length > 0) {
      const { node, rest } = stack.at(-1);
      const next = rest.pop();
      if (next === undefined) {
        found.push(node);
        stack.pop();
      } else if (!seen.has(next)) {
        seen.add(next);
        stack.push({ node: next, rest: [...graph.after(next)] });
      }
    }
    return found.reverse();
  }

  /** Return the number of each node's immediate dominator; `before` numbers from the root, 0. */
  function nearestAbove(before) {
    const above = before.map(() => -1);
    above[0] = 0;
    const meet = (one, other) => {
      while (one !== other) {
        if (one > other) {
          one = above[one];
        } else {
          other = above[other];
        }
      }
      return one;
    };
    let changed = true;
    while (changed) {
      changed = false;
      for (let i = 1; i < before.length; i += 1) {
        const known = before[i].filter((one) => above[one] >= 0);
        const found = known.reduce(meet);
        changed ||= above[i] !== found;
        above[i] = found;
      }
    }
    return above;
  }

  outage.ROOT = ROOT;
  outage.Graph = Graph;
  outage.Dominators = Dominators;
})((globalThis.outage ??= {}));
