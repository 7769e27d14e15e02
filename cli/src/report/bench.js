// The bench: drawings side by side in a strip beside the list, one of them in view, and its size.

const onBench = (() => {
  "use strict";
  const SIZES = /** @type {const} */ ([["Whole", "fit"], ["Larger", "larger"]]);

  /** Parts of the page that are packed until a script asks for them. @returns {Promise<string[]>} */
  async function held() {
    const packed = document.querySelector("#held")?.textContent || "";
    const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return JSON.parse(await new Response(stream).text());
  }

  /** Puts the parts where they belong; false in a browser that cannot unpack them. */
  async function unpack() {
    if (!("DecompressionStream" in window)) return false;
    const parts = await held();
    for (const place of document.querySelectorAll("[data-held]")) {
      place.innerHTML = parts[Number(place.getAttribute("data-held"))] ?? "";
    }
    return true;
  }

  /** Brings a drawing of a strip into view. @param {HTMLElement} strip @param {HTMLElement} figure */
  function turnTo(strip, figure) {
    strip.scrollLeft = figure.offsetLeft - strip.offsetLeft;
  }

  /** A button for each drawing of a bench, and two for the size of each. @param {HTMLElement} bench */
  function furnish(bench) {
    const strip = /** @type {HTMLElement | null} */ (bench.querySelector(".views"));
    const pages = /** @type {HTMLElement | null} */ (bench.querySelector(".pages"));
    if (!strip || !pages) return;
    const figures = [...strip.querySelectorAll("figure")];
    const tabs = figures.map((figure) => {
      const tab = document.createElement("button");
      tab.type = "button";
      tab.textContent = figure.querySelector("figcaption span")?.textContent || "";
      tab.addEventListener("click", () => turnTo(strip, figure));
      pages.append(tab);
      return tab;
    });
    const mark = () => {
      const far = (/** @type {HTMLElement} */ f) => Math.abs(f.offsetLeft - strip.offsetLeft - strip.scrollLeft);
      const nearest = figures.reduce((a, b) => (far(b) < far(a) ? b : a));
      figures.forEach((figure, i) => tabs[i].setAttribute("aria-pressed", String(figure === nearest)));
    };
    strip.addEventListener("scroll", mark, { passive: true });
    pages.hidden = false;
    mark();
    figures.forEach(resizable);
  }

  /** @param {HTMLElement} figure */
  function resizable(figure) {
    const name = figure.querySelector("figcaption span")?.textContent || "";
    const buttons = SIZES.map(([size]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "size";
      button.textContent = size;
      button.setAttribute("aria-label", `${size}: ${name}`);
      button.setAttribute("aria-pressed", "false");
      return button;
    });
    const choose = (/** @type {number} */ chosen) => {
      const isOn = buttons[chosen].getAttribute("aria-pressed") === "true";
      buttons.forEach((button, i) => {
        const on = i === chosen && !isOn;
        button.setAttribute("aria-pressed", String(on));
        figure.classList.toggle(SIZES[i][1], on);
      });
      reachable(figure);
    };
    buttons.forEach((button, i) => button.addEventListener("click", () => choose(i)));
    figure.querySelector("figcaption")?.append(...buttons);
  }

  /** What scrolls can be gone to with the keyboard, and nothing else. @param {ParentNode} within */
  function reachable(within) {
    for (const part of /** @type {NodeListOf<HTMLElement>} */ (within.querySelectorAll(".paper, .wide, .list, pre"))) {
      const scrolls = part.scrollWidth > part.clientWidth + 1 || part.scrollHeight > part.clientHeight + 1;
      if (scrolls) part.tabIndex = 0;
      else part.removeAttribute("tabindex");
    }
  }

  /** Brings a row of the list into view. @param {HTMLElement} row */
  function bring(row) {
    const list = /** @type {HTMLElement | null} */ (row.closest(".list"));
    if (list && list.scrollHeight > list.clientHeight + 1) {
      list.scrollTop += row.getBoundingClientRect().top - list.getBoundingClientRect().top - list.clientHeight / 3;
    } else row.scrollIntoView({ block: "center" });
  }

  return { unpack, furnish, reachable, bring };
})();
