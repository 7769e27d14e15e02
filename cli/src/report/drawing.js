// Drawing on the drawings: what is lit and what is on its way lies in layers on top of them.

const onDrawings = (() => {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";

  /** Where points of the room, or of the curve, are on a drawing. @param {HTMLElement} figure */
  function mapped(figure) {
    const map = (figure.dataset.map || "").split(" ").map(Number);
    return {
      /** @param {Point} p @returns {[number, number]} */
      place: (p) => [
        map[0] * p[0] + map[1] * p[1] + map[2] * p[2] + map[3],
        map[4] * p[0] + map[5] * p[1] + map[6] * p[2] + map[7],
      ],
      /** @param {number} ms @param {number} db @returns {[number, number]} */
      dot: (ms, db) => [map[0] * ms + map[1], map[2] * db + map[3]],
    };
  }

  /** @param {string} tag @param {Record<string, string | number>} attributes */
  function draw(tag, attributes) {
    const element = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
    return element;
  }

  /** A layer on top of a drawing, emptied. @param {HTMLElement} figure @param {string} name */
  function layer(figure, name) {
    const svg = figure.querySelector("svg");
    if (!svg) throw new Error("no drawing");
    let group = svg.querySelector(`:scope > .${name}`);
    if (!group) {
      group = draw("g", { class: name, fill: "none", "stroke-linejoin": "round", "aria-hidden": "true" });
      svg.append(group);
    }
    group.replaceChildren();
    return group;
  }

  const line = (/** @type {[number, number][]} */ points) => points.map((p) => p.map((n) => n.toFixed(2)).join(",")).join(" ");

  /** Where sound is on its way after so long. @param {Point[]} points @param {number} metres */
  function along(points, metres) {
    let left = metres;
    for (let i = 1; i < points.length; i++) {
      const [a, b] = [points[i - 1], points[i]];
      const leg = Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
      if (left <= leg && leg > 0) {
        const part = left / leg;
        return { at: /** @type {Point} */ (a.map((x, k) => x + (b[k] - x) * part)), ahead: /** @type {Point} */ (a.map((x, k) => (b[k] - x) / leg)) };
      }
      left -= leg;
    }
    return null;
  }

  return { mapped, draw, layer, line, along };
})();
