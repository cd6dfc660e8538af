/** Run inside the page: each looks at every text that is drawn. They must stand alone, for they are sent to the browser. */

/** Texts that a box which hides what overflows, or the edge of the window, cuts off; in one that scrolls, sideways only. */
export function clippedTexts(): string[] {
  const EDGE_PX = 1;
  const found: string[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement!;
    const text = node.textContent!.trim();
    if (text === '' || parent.closest('svg, script, noscript, dialog:not([open]), .aloud, .traces-hidden')) continue;
    if (!parent.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (box.width === 0) continue;
    const cuts: string[] = [];
    let scrolls = false;
    for (let at: HTMLElement | null = parent; at; at = at.parentElement) {
      const style = getComputedStyle(at);
      const clips = style.overflowX !== 'visible' || style.overflowY !== 'visible';
      const outer = at === document.body ? null : at.getBoundingClientRect();
      // Words kept for those who listen stand in a box of one pixel.
      if (clips && outer && outer.width <= 1) {
        cuts.length = 0;
        break;
      }
      if (!clips || !outer || style.display === 'inline') continue;
      if (box.left < outer.left - EDGE_PX || box.right > outer.right + EDGE_PX)
        cuts.push(`sideways by ${at.className}`);
      scrolls ||= style.overflowY === 'auto' || style.overflowY === 'scroll';
      const half = (box.top + box.bottom) / 2;
      const within = half > outer.top && half < outer.bottom;
      // Leading stands over the letters: what is cut must be more than a little of the line.
      const slack = EDGE_PX + box.height * 0.15;
      if (!scrolls && (!within || box.top < outer.top - slack || box.bottom > outer.bottom + slack)) {
        cuts.push(`in height by ${at.className}`);
      }
    }
    if (cuts.length === 0 && !scrolls && (box.right > innerWidth + EDGE_PX || box.bottom > innerHeight + EDGE_PX)) {
      cuts.push('by the window');
    }
    if (cuts.length > 0) found.push(`"${text}" (${cuts[0]})`);
  }
  return [...new Set(found)];
}

/**
 * Texts with too little contrast to what they stand on: under 4.5 to 1, or 3 to 1 when large (24 px, or 18.66 px and
 * bold). WCAG 2.2, 1.4.3 (AA), with its own formula of relative luminance.
 */
export function faintTexts(): string[] {
  type Colour = readonly [red: number, green: number, blue: number, alpha: number];
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true })!;
  const read = (css: string): Colour => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = css;
    canvas.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data;
    return [r!, g!, b!, a! / 255];
  };
  const over = (top: Colour, under: Colour): Colour => {
    const mix = (i: 0 | 1 | 2): number => top[i] * top[3] + under[i] * (1 - top[3]);
    return [mix(0), mix(1), mix(2), 1];
  };
  const luminance = (colour: Colour): number => {
    const [r, g, b] = [colour[0], colour[1], colour[2]].map((value) => {
      const c = value / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  /** All colours that may lie under a text: one, but for a hatched or shaded ground. */
  const grounds = (from: Element): Colour[] => {
    const layers: Colour[] = [];
    const flag = from.closest('svg g')?.querySelector('rect.flag');
    if (flag) layers.push(read(getComputedStyle(flag).fill));
    let lowest: Colour[] = [[255, 255, 255, 1]];
    for (let at: Element | null = from; at && !layers.some((layer) => layer[3] === 1); at = at.parentElement) {
      if (at instanceof SVGElement) continue;
      const { backgroundColor, backgroundImage } = getComputedStyle(at);
      const hatch = backgroundImage.match(/(rgba?|color|oklch|oklab)\([^)]*\)/g);
      if (hatch) {
        lowest = hatch.map(read);
        break;
      }
      layers.push(read(backgroundColor));
    }
    return lowest.map((low) => layers.reduceRight<Colour>((under, layer) => over(layer, under), low));
  };
  const contrastOf = (ink: Colour, under: Colour): number => {
    const [light, dark] = [luminance(over(ink, under)), luminance(under)].sort((a, b) => b - a);
    return (light! + 0.05) / (dark! + 0.05);
  };
  const opacity = (from: Element): number => {
    let product = 1;
    for (let at: Element | null = from; at; at = at.parentElement) product *= Number(getComputedStyle(at).opacity);
    return product;
  };
  const found = new Set<string>();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement!;
    const text = node.textContent!.trim();
    if (text === '' || parent.closest('script, noscript, dialog:not([open]), .aloud, .traces-hidden')) continue;
    if (!parent.checkVisibility({ visibilityProperty: true })) continue;
    const style = getComputedStyle(parent);
    const ink = read(parent instanceof SVGElement ? style.fill : style.color);
    const seen: Colour = [ink[0], ink[1], ink[2], ink[3] * opacity(parent)];
    const contrast = Math.min(...grounds(parent).map((under) => contrastOf(seen, under)));
    const px = Number.parseFloat(style.fontSize);
    const large = px >= 24 || (px >= 18.66 && Number(style.fontWeight) >= 700);
    if (contrast < (large ? 3 : 4.5)) {
      found.add(`"${text}" in ${parent.getAttribute('class') ?? parent.tagName}: ${contrast.toFixed(2)} to 1`);
    }
  }
  return [...found];
}
