// The room to turn: boxes, panels and paths on a plain canvas, far things painted first.

/** @typedef {[number, number, number]} Point */
/** @typedef {{points: Point[], speaker: number, dashes: number[], lit: boolean, faint: boolean}} Way */
/** @typedef {{name: string, corners_m: Point[]}} Piece */
/**
 * What is shown.
 * @typedef {Object} Shown
 * @property {Piece[]} panels
 * @property {Piece[]} screens
 * @property {Piece[]} furniture
 * @property {{name: string, corners_m: Point[]}[]} speakers
 * @property {{name: string, at_m: Point}} listener
 * @property {Way[]} ways
 * @property {{at: Point, speaker: number}[]} fronts
 */

/**
 * @param {HTMLCanvasElement} canvas
 * @param {Point} room
 */
function roomToTurn(canvas, room) {
  const BEGIN = { round: 0.62, up: 0.52, far: 1.35 };
  const middle = /** @type {Point} */ ([room[0] / 2, room[1] / 2, room[2] / 2]);
  const size = Math.hypot(room[0], room[1], room[2]);
  let eye = { ...BEGIN };
  /** @type {Shown | null} */
  let shown = null;
  let waiting = false;

  /** Corners of a box by bits: 1 far, 2 right, 4 up. @param {number} i @returns {Point} */
  const corner = (i) => [i & 1 ? room[0] : 0, i & 2 ? room[1] : 0, i & 4 ? room[2] : 0];
  /** Surfaces: name, corners in order, axis, whether at its far end.
   * @type {[string, number[], number, boolean][]} */
  const SURFACES = [
    ["front", [0, 2, 6, 4], 0, false],
    ["back", [1, 3, 7, 5], 0, true],
    ["left", [0, 1, 5, 4], 1, false],
    ["right", [2, 3, 7, 6], 1, true],
    ["floor", [0, 1, 3, 2], 2, false],
    ["ceiling", [4, 5, 7, 6], 2, true],
  ];
  const BOX = [[0, 1, 2, 3], [4, 5, 6, 7], [0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7]];

  /** Where the eye is, and which ways are right, up and ahead. */
  function look() {
    const [cu, su] = [Math.cos(eye.up), Math.sin(eye.up)];
    const [cr, sr] = [Math.cos(eye.round), Math.sin(eye.round)];
    // No turn: from the back wall toward the front, the left wall on the left.
    const out = /** @type {Point} */ ([cu * cr, cu * sr, su]);
    const far = eye.far * size;
    const at = /** @type {Point} */ (out.map((part, i) => middle[i] + part * far));
    const right = /** @type {Point} */ ([-sr, cr, 0]);
    const up = /** @type {Point} */ ([-su * cr, -su * sr, cu]);
    return { at, out, right, up, far };
  }

  /** Colours of the page, which has others in the dark. */
  function palette() {
    const style = getComputedStyle(canvas);
    const of = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
    const [ink, quiet, sheet, wall, floor, panel, green, wood, edge] =
      ["ink", "quiet", "sheet", "wall", "floor", "panel", "green", "wood", "edge"].map(of);
    const speakers = ["s0", "s1", "s2", "s3"].map(of);
    return { ink, quiet, sheet, wall, floor, panel, green, wood, edge, speaker: (/** @type {number} */ index) => speakers[index % speakers.length] };
  }

  /** The scale at which the room fills a canvas from where the eye begins, whichever way it is turned. @param {number} wide @param {number} high */
  function fitting(wide, high) {
    const { out, right, up } = look();
    let [across, along] = [0, 0];
    for (let i = 0; i < 8; i++) {
      const from = corner(i).map((part, k) => part - middle[k]);
      const dot = (/** @type {Point} */ way) => from[0] * way[0] + from[1] * way[1] + from[2] * way[2];
      const depth = Math.max(BEGIN.far * size - dot(out), size * 0.05);
      across = Math.max(across, Math.abs(dot(right) / depth));
      along = Math.max(along, Math.abs(dot(up) / depth));
    }
    return 0.46 * Math.min(wide / Math.max(across, 1e-6), high / Math.max(along, 1e-6));
  }

  function paint() {
    waiting = false;
    const brush = canvas.getContext("2d");
    if (!brush || !shown) return;
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight];
    const dense = Math.min(window.devicePixelRatio || 1, 2);
    if (canvas.width !== Math.round(wide * dense) || canvas.height !== Math.round(high * dense)) {
      canvas.width = Math.round(wide * dense);
      canvas.height = Math.round(high * dense);
    }
    brush.setTransform(dense, 0, 0, dense, 0, 0);
    brush.clearRect(0, 0, wide, high);
    const { at, out, right, up, far } = look();
    const colour = palette();
    const scale = fitting(wide, high);
    /** @param {Point} point @returns {[number, number, number]} across, down, depth */
    const seen = (point) => {
      const from = point.map((part, i) => part - middle[i]);
      const dot = (/** @type {Point} */ way) => from[0] * way[0] + from[1] * way[1] + from[2] * way[2];
      const depth = Math.max(far - dot(out), size * 0.05);
      return [wide / 2 + (dot(right) / depth) * scale, high / 2 - (dot(up) / depth) * scale, depth];
    };
    /** @param {Point[]} points @param {boolean} closed */
    const trace = (points, closed) => {
      brush.beginPath();
      points.forEach((point, i) => {
        const [x, y] = seen(point);
        if (i) brush.lineTo(x, y);
        else brush.moveTo(x, y);
      });
      if (closed) brush.closePath();
    };
    /** How much a surface lies between the eye and the room: 0 behind it, 1 before it.
     * @param {number} axis @param {boolean} isFar */
    const before = (axis, isFar) => {
      const beyond = isFar ? at[axis] - room[axis] : -at[axis];
      return Math.max(0, Math.min(1, beyond / (0.25 * size) + 0.02));
    };

    // Surfaces behind everything: the inside of the room.
    for (const [name, corners, axis, isFar] of SURFACES) {
      const hidden = before(axis, isFar);
      if (hidden > 0.5) continue;
      trace(corners.map(corner), true);
      brush.globalAlpha = 1 - hidden;
      brush.fillStyle = name === "floor" ? colour.floor : colour.wall;
      brush.fill();
      brush.strokeStyle = colour.quiet;
      brush.lineWidth = 1.2;
      brush.setLineDash([]);
      brush.stroke();
      const centre = corners.map(corner).reduce((a, b) => /** @type {Point} */ (a.map((x, i) => x + b[i] / 4)), /** @type {Point} */ ([0, 0, 0]));
      const [x, y] = seen(centre);
      brush.fillStyle = colour.quiet;
      brush.font = "13px 'Earline Sans', sans-serif";
      brush.textAlign = "center";
      brush.globalAlpha = 0.75 * (1 - hidden);
      brush.fillText(name, x, y + (axis === 2 ? 0 : -high * 0.03));
    }
    brush.globalAlpha = 1;

    /** @type {{depth: number, paint: () => void}[]} */
    const things = [];
    /** @param {Point[]} points */
    const depthOf = (points) => points.reduce((sum, point) => sum + seen(point)[2], 0) / points.length;
    /** @param {Point[]} points @param {string} fill @param {string} edge @param {number} alpha */
    const face = (points, fill, edge, alpha) => things.push({
      depth: depthOf(points),
      paint: () => {
        trace(points, true);
        brush.globalAlpha = alpha;
        brush.fillStyle = fill;
        brush.fill();
        brush.globalAlpha = Math.min(1, alpha * 1.6);
        brush.strokeStyle = edge;
        brush.lineWidth = 1;
        brush.setLineDash([]);
        brush.stroke();
      },
    });
    for (const panel of shown.panels) {
      // A panel fades with the surface that it is on.
      const axis = [0, 1, 2].find((i) => panel.corners_m.every((c) => Math.abs(c[i] - panel.corners_m[0][i]) < 1e-6)) ?? 2;
      const isFar = panel.corners_m[0][axis] > room[axis] / 2;
      face(panel.corners_m, colour.panel, colour.green, before(axis, isFar) > 0.5 ? 0.16 : 0.85);
    }
    for (const screen of shown.screens) face(screen.corners_m, colour.panel, colour.green, 0.6);
    for (const piece of shown.furniture) {
      for (const side of BOX) face(side.map((i) => piece.corners_m[i]), colour.wood, colour.edge, 0.75);
    }
    shown.speakers.forEach((speaker, index) => {
      BOX.forEach((side, i) => {
        face(side.map((j) => speaker.corners_m[j]), i ? colour.floor : colour.speaker(index), colour.ink, 0.95);
      });
    });
    for (const way of shown.ways) {
      for (let i = 1; i < way.points.length; i++) {
        const leg = [way.points[i - 1], way.points[i]];
        things.push({
          // A lit path is never hidden.
          depth: way.lit ? -1 : depthOf(leg),
          paint: () => {
            trace(leg, false);
            brush.globalAlpha = way.faint ? 0.13 : way.lit ? 1 : 0.6;
            brush.strokeStyle = colour.speaker(way.speaker);
            brush.lineWidth = way.lit ? 3.5 : 1.3;
            brush.setLineDash(way.dashes.map((dash) => dash * 4));
            brush.stroke();
            brush.setLineDash([]);
            if (i < way.points.length - 1) {
              const [x, y] = seen(way.points[i]);
              brush.beginPath();
              brush.arc(x, y, way.lit ? 5 : 2.5, 0, 7);
              brush.fillStyle = colour.speaker(way.speaker);
              brush.fill();
            }
          },
        });
      }
    }
    const head = shown.listener.at_m;
    things.push({
      depth: seen(head)[2],
      paint: () => {
        const [x, y, depth] = seen(head);
        brush.globalAlpha = 1;
        brush.beginPath();
        brush.arc(x, y, Math.max(4, (0.095 / depth) * scale), 0, 7);
        brush.fillStyle = colour.sheet;
        brush.fill();
        brush.strokeStyle = colour.ink;
        brush.lineWidth = 1.6;
        brush.stroke();
      },
    });
    for (const front of shown.fronts) {
      things.push({
        depth: -2,
        paint: () => {
          const [x, y] = seen(front.at);
          brush.globalAlpha = 1;
          brush.beginPath();
          brush.arc(x, y, 4, 0, 7);
          brush.fillStyle = colour.speaker(front.speaker);
          brush.fill();
          brush.strokeStyle = colour.sheet;
          brush.lineWidth = 1.5;
          brush.stroke();
        },
      });
    }
    things.sort((a, b) => b.depth - a.depth);
    for (const thing of things) thing.paint();

    // Surfaces before the room: only their edges, as thin as glass.
    brush.setLineDash([]);
    for (const [, corners, axis, isFar] of SURFACES) {
      const hidden = before(axis, isFar);
      if (hidden <= 0.5) continue;
      trace(corners.map(corner), true);
      brush.globalAlpha = 0.05;
      brush.fillStyle = colour.quiet;
      brush.fill();
      brush.globalAlpha = 0.45;
      brush.strokeStyle = colour.quiet;
      brush.lineWidth = 0.8;
      brush.stroke();
    }
    brush.globalAlpha = 1;
    brush.font = "600 13px 'Earline Sans', sans-serif";
    brush.textAlign = "left";
    const named = [...shown.speakers.map((s) => ({ name: s.name, at: s.corners_m[3] })), { name: shown.listener.name, at: head }];
    for (const { name, at: place } of named) {
      const [x, y] = seen(place);
      brush.lineWidth = 3;
      brush.strokeStyle = colour.sheet;
      brush.strokeText(name, x + 9, y - 7);
      brush.fillStyle = colour.ink;
      brush.fillText(name, x + 9, y - 7);
    }
  }

  function soon() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(paint);
  }

  /** @param {number} round @param {number} up @param {number} nearer */
  function turn(round, up, nearer) {
    eye.round += round;
    eye.up = Math.max(-0.6, Math.min(1.55, eye.up + up));
    eye.far = Math.max(0.5, Math.min(4, eye.far * nearer));
    soon();
  }

  /** @type {Map<number, {x: number, y: number}>} */
  const fingers = new Map();
  canvas.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const was = fingers.get(event.pointerId);
    if (!was) return;
    const now = { x: event.clientX, y: event.clientY };
    if (fingers.size === 1) {
      turn((was.x - now.x) * 0.008, (now.y - was.y) * 0.008, 1);
    } else {
      const other = [...fingers.entries()].find(([id]) => id !== event.pointerId);
      if (other) {
        const apart = (/** @type {{x: number, y: number}} */ p) => Math.hypot(p.x - other[1].x, p.y - other[1].y);
        turn(0, 0, apart(was) / Math.max(apart(now), 1));
      }
    }
    fingers.set(event.pointerId, now);
  });
  for (const end of /** @type {const} */ (["pointerup", "pointercancel"])) {
    canvas.addEventListener(end, (event) => fingers.delete(event.pointerId));
  }
  canvas.addEventListener("wheel", (event) => {
    // Until it is chosen, the wheel moves the page.
    if (document.activeElement !== canvas) return;
    event.preventDefault();
    turn(0, 0, Math.exp(event.deltaY * 0.001));
  }, { passive: false });
  canvas.addEventListener("keydown", (event) => {
    /** @type {Record<string, [number, number, number]>} */
    const keys = {
      ArrowLeft: [-0.12, 0, 1], ArrowRight: [0.12, 0, 1], ArrowUp: [0, 0.09, 1], ArrowDown: [0, -0.09, 1],
      "+": [0, 0, 0.9], "=": [0, 0, 0.9], "-": [0, 0, 1.1],
    };
    if (event.key === "0") eye = { ...BEGIN };
    else if (keys[event.key]) turn(...keys[event.key]);
    else return;
    event.preventDefault();
    soon();
  });
  new ResizeObserver(soon).observe(canvas);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", soon);

  return {
    /** @param {Shown} what */
    show(what) {
      shown = what;
      soon();
    },
    /** @param {string} from */
    stand(from) {
      /** @type {Record<string, [number, number, number]>} */
      const places = { above: [0, 1.55, 1.35], side: [-Math.PI / 2, 0.05, 1.2], behind: [0, 0.22, 1.1], corner: [BEGIN.round, BEGIN.up, BEGIN.far] };
      const [round, up, far] = places[from] ?? places.corner;
      eye = { round, up, far };
      soon();
    },
  };
}
