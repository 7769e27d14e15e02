// What the page holds, as its scripts read it.

/** @typedef {{number: number, on: (string | null)[], hits: string, heard: string, points_m: Point[], distance_m: number,
 *   after_direct_ms: number, limit: string, level_db: number | null, band_level_db: (number | null)[]}} Reflection */
/** @typedef {{speaker: string, distance_m: number, time_ms: number, reflections: Reflection[],
 *   energy_time: {start_ms: number, step_ms: number, level_db: number[], band_level_db: number[][]}}} Pair */
/** @typedef {{name: string, panels: Piece[], screens: Piece[], furniture: Piece[], seats: {listener: string, pairs: Pair[]}[]}} State */
/** @typedef {{speed_of_sound_m_s: number, bands_hz: number[], room_m: Point, states: State[],
 *   speakers: {name: string, at_m: Point, corners_m: Point[], colour: string, dashes_mm: number[]}[],
 *   listeners: {name: string, at_m: Point}[]}} Data */

const reading = (() => {
  "use strict";
  /** @template {Element} T @param {string} query @param {new () => T} kind @returns {T} */
  function one(query, kind) {
    const found = document.querySelector(query);
    if (!(found instanceof kind)) throw new Error(`no ${query}`);
    return found;
  }
  /** @param {ParentNode} within @param {string} query @returns {HTMLElement[]} */
  const all = (within, query) => [...within.querySelectorAll(query)].map((e) => /** @type {HTMLElement} */ (e));

  /** @type {Data} */
  const data = JSON.parse(one("#data", HTMLScriptElement).textContent || "");

  const minus = (/** @type {string} */ text) => text.replace("-", "\u2212");
  const decibels = (/** @type {number | null} */ db) => (db === null ? "none" : minus(db.toFixed(1)));

  return { one, all, data, decibels };
})();
