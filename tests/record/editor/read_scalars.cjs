// Reads a JSON list of plain scalars and writes, for each, what it is to YAML 1.1 and to the core schema of YAML 1.2.
const { parse } = require("yaml");

function kind(text, version, schema) {
  try {
    const { value } = parse(`value: ${text}\n`, { version, schema, logLevel: "silent" });
    return value instanceof Date ? "date" : value === null ? "nothing" : typeof value;
  } catch (error) {
    return "unreadable";
  }
}

const texts = JSON.parse(require("fs").readFileSync(0, "utf8"));
const readings = texts.map((text) => [kind(text, "1.1", "yaml-1.1"), kind(text, "1.2", "core")]);
process.stdout.write(JSON.stringify(readings));
