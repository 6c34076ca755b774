// The extension in a whole Visual Studio Code (code-server), driven in Chromium as an author would.
//
//   GAINSAY         the program to test with   [default: target/debug/gainsay, or the first on PATH]
//   CHROMIUM        the browser                [default: /usr/bin/chromium, Debian's package chromium]
//   GAINSAY_STUDIO  where code-server is kept  [default: ~/.cache/gainsay-studio/VERSION]
//   GAINSAY_SHOTS   where screenshots go       [default: out/shots]
//
// Needs unzip, and `npm ci --ignore-scripts` in this package, g++, make and Python to build three native modules of
// code-server on the first run, and the npm registry for that. Nothing else is fetched.
import "./steps/package.mjs";
import "./steps/findings.mjs";
import "./steps/board.mjs";
import "./steps/manuscripts.mjs";
import "./steps/claims.mjs";
import "./steps/themes.mjs";
import "./steps/program.mjs";
import "./steps/workspace.mjs";
