// What a person would do with the page, done in a browser: see .ci/page.
import assert from "node:assert/strict";
import { readFileSync, readdirSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [pages, shots] = process.argv.slice(2);
const MOST_BYTES = 1_500_000;
/** On one printed page, and of letters on a screen in pixels. */
const MOST_SHEETS = 12;
const LEAST_LETTERS_PX = 9;
/** Widths at which the list and its drawings are together, pixels. */
const WIDTHS = [390, 820, 1280, 1440];
const DESK = { width: 1280, height: 900 };
const PHONE = { width: 360, height: 740 };
// A profile of its own is made for the run and removed after it.
const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

let done = 0;
/** @param {string} what @param {() => Promise<void>} check */
async function check(what, check) {
  try {
    await check();
    done += 1;
  } catch (wrong) {
    console.error(`FAILED ${what}`);
    throw wrong;
  }
}

/** A page that may load nothing and complain of nothing. */
async function open(file, options = {}) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const url = pathToFileURL(file).href;
  const troubles = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") troubles.push(message.text());
  });
  page.on("pageerror", (error) => troubles.push(String(error)));
  page.on("request", (request) => {
    if (request.url() !== url && !request.url().startsWith("data:")) troubles.push(`asks for ${request.url()}`);
  });
  await page.goto(url);
  if (options.javaScriptEnabled !== false) await page.waitForSelector(".live-page");
  return { page, troubles, close: () => context.close() };
}

const live = (page, rest = "") => page.locator(`#early .alt:not([hidden]) ${rest}`);

/** Number of the path that a row is of. */
const numberOf = (row) => row.getAttribute("data-path");

/** Faults that bar someone from the page. */
async function barriers(page) {
  await page.evaluate(AXE);
  const result = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  return result.violations
    .filter((fault) => fault.impact === "serious" || fault.impact === "critical")
    .map((fault) => `${fault.id}: ${fault.nodes.slice(0, 3).map((node) => node.target.join(" ")).join(" | ")}`);
}

async function everyPage(name, file) {
  await check(`${name}: size`, async () => {
    assert.ok(statSync(file).size < MOST_BYTES, `${statSync(file).size} bytes`);
  });
  for (const colorScheme of ["light", "dark"]) {
    await check(`${name}: quiet, and open to everyone, ${colorScheme}`, async () => {
      const { page, troubles, close } = await open(file, { viewport: DESK, colorScheme, reducedMotion: "reduce" });
      assert.deepEqual(await barriers(page), []);
      await page.screenshot({ path: join(shots, `${name}-${colorScheme}.png`) });
      await live(page, ".bench").scrollIntoViewIfNeeded();
      await live(page, "tr[data-path] .pick").first().focus();
      await page.screenshot({ path: join(shots, `${name}-${colorScheme}-early.png`) });
      assert.deepEqual(troubles, []);
      await close();
    });
  }
  await check(`${name}: phone`, async () => {
    const { page, troubles, close } = await open(file, { viewport: PHONE, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= PHONE.width, `${wide} px wide`);
    assert.deepEqual(await barriers(page), []);
    const row = live(page, "tr[data-path]").nth(3);
    await row.locator(".pick").tap();
    assert.equal(await row.locator(".pick").getAttribute("aria-pressed"), "true");
    await page.screenshot({ path: join(shots, `${name}-phone.png`) });
    assert.deepEqual(troubles, []);
    await close();
  });
  await check(`${name}: without a script`, async () => {
    const { page, troubles, close } = await open(file, { viewport: DESK, javaScriptEnabled: false });
    assert.equal(await page.locator("#controls").isVisible(), false);
    assert.equal(await page.locator("#turn").isVisible(), false);
    const first = page.locator("#early .alt:not([data-held])");
    assert.ok(await first.locator("figure.plan svg").isVisible());
    assert.ok((await first.locator("tr[data-path]").count()) > 3);
    for (const part of await page.locator("[data-held]").all()) assert.match(await part.textContent(), /with scripts/);
    assert.deepEqual(troubles, []);
    await close();
  });
  for (const format of ["A4", "Letter"]) {
    await check(`${name}: ${format}`, async () => {
      const { page, troubles, close } = await open(file, { viewport: DESK });
      const print = await page.pdf({ path: join(shots, `${name}-${format}.pdf`), format });
      const sheets = print.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
      assert.ok(sheets >= 4 && sheets <= MOST_SHEETS, `${sheets} sheets`);
      // The width between the margins; what is wider would be cut off.
      const width = Math.floor((format === "A4" ? 210 - 24 : 215.9 - 24) / 25.4 * 96);
      await page.setViewportSize({ width, height: 1000 });
      await page.emulateMedia({ media: "print" });
      const cut = await page.evaluate((width) => [...document.querySelectorAll("svg, table, p, li, h2, pre, dl")]
        .filter((e) => e.getClientRects().length && e.getBoundingClientRect().right > width + 1)
        .map((e) => `${e.tagName} in ${e.closest("section")?.id}: ${Math.round(e.getBoundingClientRect().right)} of ${width}`), width);
      assert.deepEqual(cut, []);
      assert.equal(await page.locator("#controls").isVisible(), false);
      assert.deepEqual(troubles, []);
      await close();
    });
  }
}

/** The smallest letters of every drawing that is shown, in pixels. */
async function smallest(page) {
  return page.evaluate(() => [...document.querySelectorAll("figure svg")].filter((svg) => svg.getClientRects().length).map((svg) => {
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    const sizes = [...svg.querySelectorAll("text")].map((text) => Number(text.getAttribute("font-size")));
    return { of: svg.getAttribute("aria-label"), px: Math.min(...sizes) * scale };
  }));
}

async function readable(name, file) {
  for (const width of WIDTHS) {
    await check(`${name}: letters, and drawings by the list, at ${width} px`, async () => {
      const { page, troubles, close } = await open(file, { viewport: { width, height: 900 }, reducedMotion: "reduce" });
      for (const details of await page.locator("details").all()) await details.evaluate((e) => { e.open = true; });
      const small = (await smallest(page)).filter(({ px }) => px < LEAST_LETTERS_PX - 0.05);
      assert.deepEqual(small, []);
      for (const details of await page.locator("details").all()) await details.evaluate((e) => { e.open = false; });
      for (const index of [0, 6]) {
        const pick = live(page, "tr[data-path] .pick").nth(index);
        await pick.scrollIntoViewIfNeeded();
        await pick.click();
        const seen = await live(page, "figure.plan").evaluate((figure) => {
          const box = figure.getBoundingClientRect();
          return Math.min(box.bottom, innerHeight) - Math.max(box.top, 0);
        });
        assert.ok(seen > 200, `${seen} px of the plan beside row ${index}`);
        await pick.click();
      }
      assert.deepEqual(troubles, []);
      await close();
    });
  }
  await check(`${name}: every drawing can be made larger, and turned to`, async () => {
    const { page, close } = await open(file, { viewport: DESK, reducedMotion: "reduce" });
    const figures = live(page, "figure.live");
    const tabs = live(page, ".pages button");
    assert.equal(await tabs.count(), await figures.count());
    for (let index = 0; index < await figures.count(); index++) {
      await tabs.nth(index).click();
      const figure = figures.nth(index);
      const wide = () => figure.locator("svg").evaluate((svg) => svg.getBoundingClientRect().width);
      const before = await wide();
      await figure.getByRole("button", { name: /^Larger/ }).click();
      assert.ok((await wide()) > 1.3 * before, `${await wide()} after ${before} px`);
      await figure.getByRole("button", { name: /^Larger/ }).click();
      assert.equal(await wide(), before);
      const strip = await live(page, ".views").boundingBox();
      const box = await figure.boundingBox();
      assert.ok(Math.abs(box.x - strip.x) < 2, `${box.x} of ${strip.x}`);
    }
    await close();
  });
  await check(`${name}: what is tapped in a drawing comes into view in the list`, async () => {
    const { page, close } = await open(file, { viewport: DESK, reducedMotion: "reduce" });
    const tag = live(page, "figure.plan svg [data-path] text").last();
    const number = await tag.evaluate((e) => e.closest("[data-path]").getAttribute("data-path"));
    await tag.click({ force: true });
    const row = live(page, `tr[data-path="${number}"]`);
    const [list, box] = [await live(page, ".list").boundingBox(), await row.boundingBox()];
    assert.ok(box.y >= list.y - 1 && box.y + box.height <= list.y + list.height + 1, `${box.y} in ${list.y}`);
    await close();
  });
  await check(`${name}: four times as large, and no idle tab stop`, async () => {
    const { page, close } = await open(file, { viewport: { width: 320, height: 225 }, reducedMotion: "reduce" });
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 320);
    const pick = live(page, "tr[data-path] .pick").nth(3);
    await pick.scrollIntoViewIfNeeded();
    await pick.click();
    assert.equal(await pick.getAttribute("aria-pressed"), "true");
    const idle = await page.evaluate(() => [...document.querySelectorAll("[tabindex='0']:not(canvas)")]
      .filter((e) => e.getClientRects().length && e.scrollWidth <= e.clientWidth + 1 && e.scrollHeight <= e.clientHeight + 1)
      .map((e) => e.className));
    assert.deepEqual(idle, []);
    await close();
  });
}

/** Whether a path is lit in the list and in plan, curve and the elevation that it hits. */
async function isLit(page, number) {
  return page.evaluate((number) => {
    const part = document.querySelector("#early .alt:not([hidden])");
    const marks = (view) => part.querySelectorAll(`figure.${view} .shine > *`).length;
    const data = JSON.parse(document.querySelector("#data").textContent);
    const chosen = (id) => Number(document.querySelector(`#${id}`).value);
    const pairs = data.states[chosen("state")].seats[chosen("seat")].pairs;
    const path = pairs.flatMap((pair) => pair.reflections).find((r) => String(r.number) === number);
    const walls = [...new Set(path.on.filter(Boolean))];
    return {
      row: part.querySelector(`tr[data-path="${number}"]`).classList.contains("lit"),
      plan: marks("plan") > 0,
      section: marks("section") > 0,
      curve: marks("curve") > 0,
      elevations: walls.every((wall) => marks(wall) > 0),
      said: document.querySelector("#told").textContent.startsWith(`No ${number}:`),
    };
  }, number);
}
/** Levels of the rows in an octave band, as the data have them. */
async function inBand(page, band) {
  return page.evaluate((band) => {
    const data = JSON.parse(document.querySelector("#data").textContent);
    const chosen = (id) => Number(document.querySelector(`#${id}`).value);
    const paths = data.states[chosen("state")].seats[chosen("seat")].pairs.flatMap((pair) => pair.reflections);
    return [...document.querySelectorAll("#early .alt:not([hidden]) tr[data-path]")].map((row) => {
      const db = paths.find((r) => String(r.number) === row.dataset.path).band_level_db[band];
      return db === null ? "none" : db.toFixed(1).replace("-", "\u2212");
    });
  }, band);
}

const LIT = { row: true, plan: true, section: true, curve: true, elevations: true, said: true };

async function lively(name, file) {
  const { page, troubles, close } = await open(file, { viewport: DESK });
  await check(`${name}: pointing at a row lights its path everywhere`, async () => {
    for (const index of [0, 4, 9]) {
      const row = live(page, "tr[data-path]").nth(index);
      await row.hover();
      assert.deepEqual(await isLit(page, await numberOf(row)), LIT);
    }
  });
  await check(`${name}: pointing at a drawing lights the row`, async () => {
    const tag = live(page, "figure.plan svg [data-path] text").first();
    const number = await tag.evaluate((e) => e.closest("[data-path]").getAttribute("data-path"));
    await tag.hover({ force: true });
    assert.deepEqual(await isLit(page, number), LIT);
  });
  await check(`${name}: the keyboard does the same`, async () => {
    await page.mouse.move(1, 1);
    const pick = live(page, "tr[data-path] .pick").nth(1);
    await live(page, "tr[data-path] .pick").nth(0).focus();
    await page.keyboard.press("Tab");
    const number = await numberOf(live(page, "tr[data-path]").nth(1));
    assert.deepEqual(await isLit(page, number), LIT);
    await page.keyboard.press("Enter");
    assert.equal(await pick.getAttribute("aria-pressed"), "true");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Shift+Tab");
    await page.keyboard.press("Escape");
    assert.equal(await pick.getAttribute("aria-pressed"), "false");
  });
  await check(`${name}: choices change what is shown`, async () => {
    for (const choice of ["state", "seat"]) {
      const select = page.locator(`#${choice}`);
      const count = await select.locator("option").count();
      for (let index = 0; index < count; index++) {
        await select.selectOption(String(index));
        const shown = await page.locator(`.alt:not([hidden])`).evaluateAll((all, choice) => all.map((e) => e.dataset[choice]), choice);
        // A part that tells of all states has none of its own.
        const own = shown.filter((value) => value !== undefined);
        assert.ok(own.length >= 1 && own.every((value) => value === String(index)), `${choice} ${shown}`);
      }
    }
    // The first choice is all of them.
    const last = String((await page.locator("#speaker option").count()) - 2);
    await page.locator("#speaker").selectOption(last);
    const speakers = await live(page, "tr[data-path]:not([hidden])").evaluateAll((all) => all.map((e) => e.dataset.speaker));
    assert.ok(speakers.length > 0 && speakers.every((value) => value === last));
    if (last !== "0") assert.ok((await live(page, 'figure.plan [data-direct="0"].off').count()) > 0);
    await page.locator("#speaker").selectOption("-1");
    const levels = () => live(page, "tr[data-path] .level").allTextContents();
    const before = await levels();
    await page.locator("#band").selectOption("1");
    assert.deepEqual(await levels(), await inBand(page, 1));
    assert.ok((await live(page, "figure.curve .banded polyline").count()) > 2);
    assert.match(await live(page, "figure.curve figcaption span").textContent(), /125 Hz/);
    await page.locator("#band").selectOption("-1");
    assert.deepEqual(await levels(), before);
    assert.equal(await live(page, "figure.curve .banded polyline").count(), 0);
  });
  await check(`${name}: the slider moves wavefronts along their paths`, async () => {
    const at = async (ms) => {
      await page.locator("#time").fill(String(ms));
      return live(page, "figure.plan .fronts polyline").evaluateAll((all) => all.map((e) => e.getAttribute("points")));
    };
    assert.deepEqual(await at(0), []);
    const [early, late] = [await at(2), await at(4)];
    assert.ok(early.length > 5);
    assert.notDeepEqual(early, late);
    assert.equal(await page.locator("#now").textContent(), "4.0 ms");
    // The direct sound of the first speaker is as far along its line as the time says.
    const part = await page.evaluate(() => {
      const data = JSON.parse(document.querySelector("#data").textContent);
      const chosen = (id) => Number(document.querySelector(`#${id}`).value);
      return 4 / data.states[chosen("state")].seats[chosen("seat")].pairs[0].time_ms;
    });
    if (part < 1) {
      const off = await page.evaluate((part) => {
        const figure = document.querySelector("#early .alt:not([hidden]) figure.plan");
        const map = figure.dataset.map.split(" ").map(Number);
        const data = JSON.parse(document.querySelector("#data").textContent);
        const seat = Number(document.querySelector("#seat").value);
        const [from, to] = [data.speakers[0].at_m, data.listeners[seat].at_m];
        const p = from.map((x, i) => x + (to[i] - x) * part);
        const expected = [0, 4].map((k) => map[k] * p[0] + map[k + 1] * p[1] + map[k + 2] * p[2] + map[k + 3]);
        const ends = figure.querySelector(".fronts polyline").getAttribute("points").split(" ").map((q) => q.split(",").map(Number));
        return Math.hypot((ends[0][0] + ends[1][0]) / 2 - expected[0], (ends[0][1] + ends[1][1]) / 2 - expected[1]);
      }, part);
      assert.ok(off < 0.05, `${off} mm off`);
    }
    await page.locator("#play").click();
    await page.waitForTimeout(400);
    await page.locator("#play").click();
    assert.ok(Number(await page.locator("#time").inputValue()) > 4);
  });
  await check(`${name}: the room turns`, async () => {
    const canvas = page.locator("#space");
    await canvas.scrollIntoViewIfNeeded();
    const picture = async () => {
      await page.waitForTimeout(120);
      return canvas.evaluate((e) => e.toDataURL());
    };
    const blank = await canvas.evaluate((e) => {
      const other = document.createElement("canvas");
      [other.width, other.height] = [e.width, e.height];
      return other.toDataURL();
    });
    const first = await picture();
    assert.notEqual(first, blank);
    await canvas.focus();
    await page.keyboard.press("ArrowRight");
    const turned = await picture();
    assert.notEqual(turned, first);
    await page.keyboard.press("+");
    assert.notEqual(await picture(), turned);
    await page.keyboard.press("0");
    assert.equal(await picture(), first);
    const box = await canvas.boundingBox();
    await page.mouse.move(box.x + 300, box.y + 200);
    await page.mouse.down();
    await page.mouse.move(box.x + 420, box.y + 240, { steps: 4 });
    await page.mouse.up();
    assert.notEqual(await picture(), first);
    await page.screenshot({ path: join(shots, `${name}-turned.png`) });
    await page.locator('[data-turn="above"]').click();
    assert.notEqual(await picture(), first);
  });
  assert.deepEqual(troubles, []);
  await close();
}

try {
  const names = readdirSync(pages).sort();
  assert.ok(names.length >= 5, "pages of every scene");
  for (const name of names) {
    const file = join(pages, name, "report.html");
    await everyPage(name, file);
    await readable(name, file);
    await lively(name, file);
    console.log(`${name}: ${statSync(file).size} bytes, well`);
  }
  console.log(`${done} checks`);
} finally {
  await browser.close();
}
