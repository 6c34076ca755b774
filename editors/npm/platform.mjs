// Makes the npm package that holds the program for the machine this runs on:
// node editors/npm/platform.mjs PROGRAM FOLDER
import { chmodSync, copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import process from 'node:process';

const [program, folder] = process.argv.slice(2);
if (!program || !folder) {
  console.error('usage: node platform.mjs PROGRAM FOLDER');
  process.exit(2);
}
const main = JSON.parse(readFileSync(new URL('package.json', import.meta.url), 'utf8'));
const name = `${main.name}-${process.platform}-${process.arch}`;
if (!(name in main.optionalDependencies)) {
  console.error(`editors/npm/package.json does not name ${name}`);
  process.exit(2);
}
const { version, description, license } = main;
const file = process.platform === 'win32' ? 'gainsay.exe' : 'gainsay';
mkdirSync(folder, { recursive: true });
copyFileSync(program, join(folder, file));
chmodSync(join(folder, file), 0o755);
const made = {
  name,
  version,
  description: `${description} The program for ${process.platform} on ${process.arch}.`,
  license,
  os: [process.platform],
  cpu: [process.arch],
  files: [file],
};
writeFileSync(join(folder, 'package.json'), `${JSON.stringify(made, null, 2)}\n`);
console.log(`${name} ${version}: ${basename(program)}`);
