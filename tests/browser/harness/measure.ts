/** What of a page can be measured: how far its text stands out from what is behind it, how big its targets are. */
import type { Page } from 'playwright-core';

/** WCAG 2.2, 1.4.3 (AA) and 2.5.8 (AA). */
const CONTRAST_MIN = 4.5;
const TARGET_PX_MIN = 24;

/** Texts with less contrast than that, from the computed styles; ratio and text of each. */
export function faintTexts(page: Page): Promise<readonly string[]> {
  return page.evaluate<readonly string[]>(`(() => {
    const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
    const rgba = (colour) => {
      canvas.clearRect(0, 0, 1, 1);
      canvas.fillStyle = colour;
      canvas.fillRect(0, 0, 1, 1);
      return [...canvas.getImageData(0, 0, 1, 1).data];
    };
    const light = ([r, g, b]) => {
      const [x, y, z] = [r, g, b].map((part) => {
        const share = part / 255;
        return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * x + 0.7152 * y + 0.0722 * z;
    };
    const behind = (element) => {
      for (let one = element; one !== null; one = one.parentElement) {
        const colour = rgba(getComputedStyle(one).backgroundColor);
        if (colour[3] === 255) return colour;
      }
      return [255, 255, 255];
    };
    const faint = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const element = node.parentElement;
      if (node.data.trim() === '' || element.closest('.only-heard, .skip, option, svg, noscript') !== null) continue;
      if (!element.checkVisibility()) continue;
      const [one, other] = [light(rgba(getComputedStyle(element).color)), light(behind(element))];
      const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
      if (ratio < ${CONTRAST_MIN}) faint.push(ratio.toFixed(2) + ' ' + node.data.trim());
    }
    return faint;
  })()`);
}

/** What can be pressed and is smaller than that; a radio button is as big as its label. */
export function smallTargets(page: Page): Promise<readonly string[]> {
  return page.evaluate<readonly string[]>(`(() => {
    const all = [...document.querySelectorAll('button, a[href], input, select, summary')];
    const small = all.filter((one) => {
      if (!one.checkVisibility() || one.matches('.skip')) return false;
      const { width, height } = (one.type === 'radio' ? one.closest('label') : one).getBoundingClientRect();
      return width < ${TARGET_PX_MIN} || height < ${TARGET_PX_MIN};
    });
    return small.map((one) => one.outerHTML.slice(0, 160));
  })()`);
}
