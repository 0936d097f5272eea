// Encodes and decodes Sparkplug B payloads for the tests: one JSON line in, one JSON line out.
"use strict";
const sparkplug = require("sparkplug-payload").get("spBv1.0");

const lines = require("readline").createInterface({ input: process.stdin });
lines.on("line", (line) => {
  const asked = JSON.parse(line);
  const answer = asked.decode
    ? sparkplug.decodePayload(Buffer.from(asked.decode, "hex"))
    : Buffer.from(sparkplug.encodePayload(asked)).toString("hex");
  console.log(JSON.stringify(answer, (key, value) => (value && value.low !== undefined ? Number(value) : value)));
});
