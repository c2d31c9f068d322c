// pages.mjs MODULES FILE.html...: looks at pages in a real browser, as tests/output/check_pages.py
// asks for. MODULES is a folder with node_modules. Prints a JSON object for each page and width.
//
// On a phone, on a desk and on the paper of A4 and Letter: nothing may be wider than the page, cut
// off, or outside its picture. Counts the pages that printing gives, and asks axe-core for what
// keeps people from reading them.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import path from "node:path";
import fs from "node:fs";

const [modules, ...files] = process.argv.slice(2);
const require = createRequire(path.join(path.resolve(modules), "x.js"));
const { chromium } = require("playwright-core");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const screens = [
  { name: "phone", width: 390, media: "screen" },
  { name: "desk", width: 1200, media: "screen" },
  { name: "A4", width: Math.round((188 * 96) / 25.4), media: "print" },
  { name: "Letter", width: Math.round((193.9 * 96) / 25.4), media: "print" },
];

// Runs in the page. What is found wrong, in words.
function troubles() {
  const found = [];
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > width + 1)
    found.push(`the page is ${document.documentElement.scrollWidth} wide, not ${width}`);
  for (const element of document.querySelectorAll("main *")) {
    const box = element.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    const words = () => `<${element.tagName}> "${element.textContent.trim().slice(0, 40)}"`;
    if (!element.closest("svg") && (box.left < -1 || box.right > width + 1))
      found.push(`outside the page: ${words()}`);
    const style = getComputedStyle(element);
    if (style.overflowX !== "visible" && element.scrollWidth > element.clientWidth + 1)
      found.push(`cut off: ${words()}`);
    if (element.tagName === "text") {
      const field = element.closest("svg").getBoundingClientRect();
      if (box.left < field.left - 1 || box.right > field.right + 1 ||
          box.top < field.top - 1 || box.bottom > field.bottom + 1)
        found.push(`outside its picture: ${words()}`);
    }
    if (element.tagName === "TD" && element.scrollWidth > element.clientWidth + 1)
      found.push(`wider than its cell: ${words()}`);
  }
  return found.slice(0, 8);
}

// Pages of a PDF that Chromium wrote.
function count_pages(pdf) {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
}

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu"],
});
const page = await browser.newPage({ javaScriptEnabled: true });
for (const file of files) {
  await page.emulateMedia({ media: "screen" });
  await page.goto(pathToFileURL(path.resolve(file)).href);
  const result = { file, troubles: {}, pages: {}, axe: [] };
  for (const screen of screens) {
    await page.emulateMedia({ media: screen.media });
    await page.setViewportSize({ width: screen.width, height: 900 });
    result.troubles[screen.name] = await page.evaluate(troubles);
  }
  for (const format of ["A4", "Letter"])
    result.pages[format] = count_pages(await page.pdf({ format }));
  await page.emulateMedia({ media: "screen" });
  await page.evaluate(axe);
  for (const width of [390, 1200]) {
    await page.setViewportSize({ width, height: 900 });
    const { violations } = await page.evaluate(() => window.axe.run());
    for (const each of violations)
      result.axe.push(`${each.id}: ${each.nodes[0].html.slice(0, 90)}`);
  }
  console.log(JSON.stringify(result));
}
await browser.close();
