// Looks at a page and a card in a real browser and prints what it found as JSON.
// node in_browser.js CHROMIUM PAGE CARD PROFILE; playwright-core and axe-core are found by NODE_PATH.
const fs = require("fs");
const { chromium } = require("playwright-core");

const [executablePath, page, card, profile] = process.argv.slice(2);
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const args = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const found = { console: [], requests: [], violations: [], overflow: [], unreached: [], pages: {} };

async function violations(tab, name) {
  await tab.evaluate(() => document.querySelectorAll("details").forEach((one) => { one.open = true; }));
  const told = await tab.evaluate(`${axe}; axe.run().then((r) => r.violations.map((v) => v.id + " " + v.nodes[0].html))`);
  found.violations.push(...told.map((one) => `${name}: ${one}`));
}

async function walk(tab) {
  // Tab through the whole page; what is folded is unfolded with the Enter key.
  const reached = new Set();
  for (let step = 0; step < 3000; step += 1) {
    await tab.keyboard.press("Tab");
    const at = await tab.evaluate(() => {
      const here = document.activeElement;
      if (!here || here === document.body) return null;
      const inner = here.matches("details.finding > summary") ? here.nextElementSibling.id : "";
      return { inner, folded: here.tagName === "SUMMARY" && !here.parentElement.open };
    });
    if (at === null) break;
    if (at.inner) reached.add(at.inner);
    if (at.folded) await tab.keyboard.press("Enter");
  }
  const all = await tab.evaluate(() => [...document.querySelectorAll("details.finding > div")].map((one) => one.id));
  found.unreached.push(...all.filter((id) => !reached.has(id)));
  found.findings = all.length;
}

(async () => {
  const window = await chromium.launchPersistentContext(profile, { executablePath, args });
  const open = async (file, width, colorScheme) => {
    const tab = await window.newPage();
    tab.on("console", (message) => found.console.push(message.text()));
    tab.on("pageerror", (error) => found.console.push(error.message));
    tab.on("request", (request) => { if (!request.url().startsWith("file:")) found.requests.push(request.url()); });
    await tab.setViewportSize({ width, height: 900 });
    await tab.emulateMedia({ colorScheme });
    await tab.goto(`file://${file}`);
    const over = await tab.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (over > 0) found.overflow.push(`${file} at ${width}: ${over}`);
    return tab;
  };
  await walk(await open(page, 1280, "light"));
  for (const [width, scheme] of [[1280, "light"], [1280, "dark"], [390, "light"], [390, "dark"]]) {
    await violations(await open(page, width, scheme), `${width} ${scheme}`);
  }
  const tab = await open(card, 900, "light");
  await violations(tab, "card");
  for (const format of ["A4", "Letter"]) {
    const pdf = (await tab.pdf({ format })).toString("latin1");
    found.pages[format] = (pdf.match(/\/Type\s*\/Page\b/g) || []).length;
  }
  await window.close();
  console.log(JSON.stringify(found));
})();
