package browsertest

// Pale lists words in pictures (SVG) that stand out too little against what is drawn behind
// them: WCAG 2.2, success criterion 1.4.3, asks for a contrast of 4.5. axe-core leaves
// these to a person. The colours of a picture that the style sheet turns round in the dark
// are turned round here too. It returns how many words it judged.
func (b *Tab) Pale() (pale []string, judged int) {
	b.t.Helper()
	r, err := evaluate[struct {
		Pale   []string
		Judged int
	}](b, paleJS)
	if err != nil {
		b.t.Fatalf("contrast in pictures: %v", err)
	}
	return r.Pale, r.Judged
}

// paleJS lays the colours behind each word's middle one on the other, as they are drawn.
// Relative luminance and contrast are WCAG 2.2's; the matrix is hue-rotate(180deg)'s of W3C
// Filter Effects Level 1, section 9.3.
const paleJS = `(() => {
  const parse = (css) => { const m = css.match(/[\d.]+/g)?.map(Number) ?? [0, 0, 0, 0]; return css === "none" ? [0, 0, 0, 0] : [m[0] / 255, m[1] / 255, m[2] / 255, m[3] ?? 1]; };
  const over = (top, below, share) => below.map((v, i) => top[i] * share + v * (1 - share));
  const turned = ([r, g, b]) => { r = 1 - r; g = 1 - g; b = 1 - b;
    return [[-0.574, 1.43, 0.144], [0.426, 0.43, 0.144], [0.426, 1.43, -0.856]].map((m) => Math.min(1, Math.max(0, m[0] * r + m[1] * g + m[2] * b))); };
  const light = (c) => c.map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4).reduce((s, v, i) => s + v * [0.2126, 0.7152, 0.0722][i], 0);
  const pale = []; let judged = 0;
  for (const svg of document.querySelectorAll("figure.picture svg")) {
    const filter = getComputedStyle(svg).filter;
    if (filter !== "none" && filter !== "invert(1) hue-rotate(180deg)") pale.push("an unknown filter: " + filter);
    const shapes = [...svg.querySelectorAll("rect, path, polygon")];
    for (const word of svg.querySelectorAll("text, tspan")) {
      if (!word.firstChild || word.firstChild.nodeType !== 3 || word.firstChild.data.trim() === "") continue;
      const box = word.getBoundingClientRect(), x = box.left + box.width / 2, y = box.top + box.height / 2;
      let ground = [1, 1, 1];
      for (const s of shapes) {
        const style = getComputedStyle(s), at = new DOMPoint(x, y).matrixTransform(s.getScreenCTM().inverse());
        if (style.fill === "none" || style.fill.startsWith("url") || !s.isPointInFill(at)) continue;
        const c = parse(style.fill);
        ground = over(c, ground, c[3] * style.fillOpacity * style.opacity);
      }
      const style = getComputedStyle(word), ink = parse(style.fill);
      let front = over(ink, ground, ink[3] * style.fillOpacity * style.opacity);
      if (filter !== "none") { front = turned(front); ground = turned(ground); }
      const [a, b] = [light(front), light(ground)].sort((p, q) => q - p), contrast = (a + 0.05) / (b + 0.05);
      judged++;
      if (contrast < 4.5) pale.push(word.textContent + ": " + contrast.toFixed(2));
    }
  }
  return {Pale: pale, Judged: judged};
})()`
