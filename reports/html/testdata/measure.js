// Measures the page it is evaluated in.
(() => {
  const bad = [], w = document.documentElement.clientWidth;
  for (const d of document.querySelectorAll("details")) d.open = true;
  const name = e => e.tagName + "." + e.getAttribute("class") + " " + e.textContent.slice(0, 40);
  if (document.documentElement.scrollWidth > w) bad.push("the page is " + document.documentElement.scrollWidth + " wide");
  for (const e of document.querySelectorAll("body *")) {
    if (e.parentElement.closest("svg") || e.tagName === "SCRIPT") continue;
    const r = e.getBoundingClientRect(), box = e.parentElement.closest(".scroll");
    const scrolls = box && getComputedStyle(box).overflowX === "auto";
    if (!scrolls && r.width > 0 && (r.left < -1 || r.right > w + 1)) bad.push("out of the page: " + name(e));
    const s = getComputedStyle(e);
    if (s.display !== "inline" && s.overflowX !== "auto" && e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1) bad.push("overflows: " + name(e));
  }
  let texts = 0, pictures = 0, smallest = 1e9;
  for (const p of document.querySelectorAll("svg.sd")) {
    pictures++;
    const view = p.viewBox.baseVal, boxes = [];
    for (const e of p.querySelectorAll("text")) {
      texts++;
      const b = e.getBBox();
      smallest = Math.min(smallest, parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().a);
      if (b.x < 0 || b.y < view.y || b.x + b.width > view.width || b.y + b.height > view.y + view.height) bad.push("out of the picture: " + name(e));
      for (const o of boxes) {
        const x = Math.min(b.x + b.width, o.b.x + o.b.width) - Math.max(b.x, o.b.x);
        const y = Math.min(b.y + b.height, o.b.y + o.b.height) - Math.max(b.y, o.b.y);
        if (x > 1 && y > 1) bad.push("one over the other: " + name(e) + " / " + name(o.e));
      }
      boxes.push({b, e});
    }
  }
  return {Width: w, Pictures: pictures, Texts: texts, Smallest: smallest, Bad: bad.slice(0, 30)};
})()
