// What a person sees and a checker of rules does not. Each function returns sentences; an empty list means all is well.
window.look = (() => {
  const within = 1.5; // px: rounding of sub-pixel boxes

  const named = (part) => {
    const classes = typeof part.className === "string" && part.className ? `.${part.className.trim().split(/\s+/).join(".")}` : "";
    return `${part.tagName.toLowerCase()}${part.id ? `#${part.id}` : ""}${classes}`;
  };
  const parents = function* (part) {
    for (let one = part; one instanceof Element; one = one.parentElement) yield one;
  };
  // Words for screen readers only stand in a box of one pixel.
  const putAway = (part) => [...parents(part)].some((one) => {
    const box = one.getBoundingClientRect();
    const style = getComputedStyle(one);
    return style.clipPath === "inset(50%)" || (style.overflow === "hidden" && box.width <= 1 && box.height <= 1);
  });
  const seen = (part) => part.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !putAway(part);

  const words = function* () {
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const text = texts.currentNode;
      if (!text.data.trim() || !text.parentElement || !seen(text.parentElement)) continue;
      if (text.parentElement.closest("script, style, option, datalist, title")) continue;
      const range = document.createRange();
      range.selectNodeContents(text);
      yield { text, part: text.parentElement, boxes: [...range.getClientRects()].filter((box) => box.width > 0) };
    }
  };

  // Every box and every word stays on the sheet; nothing runs into the next cell or out of a box that cuts it off.
  function tooWide() {
    const said = [];
    const sheet = document.querySelector("main.page")?.getBoundingClientRect();
    const screen = { left: 0, right: document.documentElement.clientWidth };
    const edges = (part) => (sheet && part.closest("main.page") ? sheet : screen);
    if (document.documentElement.scrollWidth > screen.right + within) {
      said.push(`the page scrolls sideways: ${document.documentElement.scrollWidth} on ${screen.right}`);
    }
    const out = (box, edge) => box.right > edge.right + within || box.left < edge.left - within;
    for (const part of document.body.querySelectorAll("*")) {
      if (part.closest(".sprite, defs, option, datalist, script") || !seen(part)) continue;
      const box = part.getBoundingClientRect();
      if (box.width && box.height && out(box, edges(part))) {
        said.push(`${named(part)} spans ${Math.round(box.left)} to ${Math.round(box.right)}, its sheet ${Math.round(edges(part).left)} to ${Math.round(edges(part).right)}`);
      }
      const style = getComputedStyle(part);
      if (/auto|scroll/.test(style.overflowX) && part.scrollWidth > part.clientWidth + within && !/^(TEXTAREA|SELECT|INPUT)$/.test(part.tagName)) {
        said.push(`${named(part)} scrolls sideways: ${part.scrollWidth} in ${part.clientWidth}`);
      }
    }
    for (const { text, part, boxes } of words()) {
      const cell = part.closest("td, th");
      const cuts = [...parents(part)].find((one) => /hidden|clip/.test(getComputedStyle(one).overflowX));
      for (const box of boxes) {
        const what = `“${text.data.trim().slice(0, 40)}” in ${named(part)}`;
        if (out(box, edges(part))) said.push(`${what} ends at ${Math.round(box.right)}, its sheet at ${Math.round(edges(part).right)}`);
        else if (cell && box.right > cell.getBoundingClientRect().right + within) said.push(`${what} runs out of its cell`);
        else if (cuts && cuts.getBoundingClientRect().width > 1 && out(box, cuts.getBoundingClientRect())) said.push(`${what} is cut off by ${named(cuts)}`);
      }
    }
    return [...new Set(said)].slice(0, 12);
  }

  // Whoever goes by keyboard sees where they are: an outline, or a line that differs, on the part, its name or its frame.
  function unseenFocus() {
    const said = [];
    const lines = (part) => {
      const style = getComputedStyle(part);
      const outline = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0 ? `${style.outlineStyle} ${style.outlineWidth} ${style.outlineColor}` : "";
      return [outline, style.borderTopColor, style.borderBottomColor, style.borderBottomWidth, style.boxShadow].join("|");
    };
    const carriers = (part) => [part, ...(part.labels ?? []), part.parentElement];
    for (const part of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")) {
      if (part.disabled || !part.checkVisibility()) continue;
      document.activeElement?.blur();
      const before = carriers(part).map(lines);
      part.focus({ preventScroll: true, focusVisible: true });
      if (document.activeElement !== part) continue;
      if (carriers(part).map(lines).join() === before.join()) said.push(`nothing shows the focus on ${named(part)} ${part.textContent.trim().slice(0, 30)}`);
    }
    document.activeElement?.blur();
    return said.slice(0, 12);
  }

  // A state is a shape and a word: the word is there, and both differ from what lies behind them.
  function unreadStates() {
    const said = [];
    const paper = (part) => {
      for (const one of parents(part)) {
        const color = getComputedStyle(one).backgroundColor;
        if (!/, 0\)$|transparent/.test(color)) return color;
      }
      return getComputedStyle(document.documentElement).backgroundColor;
    };
    for (const state of document.querySelectorAll(".state")) {
      if (!seen(state)) continue;
      if (!state.innerText.trim()) said.push(`a state without a word: ${state.outerHTML.slice(0, 120)}`);
      for (const part of [state, ...state.querySelectorAll(".glyph")]) {
        if (getComputedStyle(part).color === paper(part)) said.push(`“${state.innerText}” has the color of its paper`);
      }
    }
    for (const shape of document.querySelectorAll("svg.glyph[role=img]")) {
      if (!shape.getAttribute("aria-label")) said.push(`a shape without a name: ${shape.outerHTML.slice(0, 120)}`);
    }
    for (const { text, part } of words()) {
      if (!part.closest("svg") && getComputedStyle(part).color === paper(part)) said.push(`“${text.data.trim().slice(0, 40)}” has the color of its paper`);
    }
    return [...new Set(said)].slice(0, 12);
  }

  return { tooWide, unseenFocus, unreadStates };
})();
