#!/usr/bin/env node
// Runs the program of the package for this machine, which npm installs beside this one.
const { spawn } = require('node:child_process');

const name = `gainsay-${process.platform}-${process.arch}`;
const file = process.platform === 'win32' ? 'gainsay.exe' : 'gainsay';

let program;
try {
  program = require.resolve(`${name}/${file}`);
} catch {
  console.error(
    `gainsay: the package ${name} is missing: install it without --no-optional, or build gainsay ` +
      'with Rust where there is none for your machine',
  );
  process.exit(2);
}

const child = spawn(program, process.argv.slice(2), { stdio: 'inherit' });
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
  process.on(signal, () => child.kill(signal));
}
child.on('error', (error) => {
  console.error(`gainsay: ${program} cannot be run: ${error.message}`);
  process.exit(2);
});
child.on('exit', (code, signal) => {
  if (signal) {
    process.removeAllListeners(signal);
    process.kill(process.pid, signal);
  } else {
    process.exit(code);
  }
});
