// validate_html.mjs MODULES FILE.html...: each page by the rules of the HTML standard, as the
// package html-validate carries them. Prints a JSON object for each page.
import { createRequire } from "node:module";
import path from "node:path";

const [modules, ...files] = process.argv.slice(2);
const require = createRequire(path.join(path.resolve(modules), "x.js"));
const { HtmlValidate, StaticConfigLoader } = require("html-validate");
const validator = new HtmlValidate(
  new StaticConfigLoader({ root: true, extends: ["html-validate:standard"] }),
);
for (const file of files) {
  const report = await validator.validateFile(file);
  const messages = report.results.flatMap((result) =>
    result.messages.map((each) => `${each.line}: ${each.message} (${each.ruleId})`),
  );
  console.log(JSON.stringify({ file, messages: messages.slice(0, 8) }));
}
