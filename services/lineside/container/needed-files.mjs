/** Which files of a package are needed when it runs. */

/** Of our own packages: what was built, how it is started, and what Node must know of it. */
const OURS = /^((package\.json|dist|bin)(\/.*)?|container(\/database-access\.mjs)?)$/;

/** For people and for compilers. Licences stay. */
const NOT_RUN = /\.(map|tsbuildinfo|[cm]?ts|md|markdown)$/i;

/** At the top of a package, for its authors. */
const FOR_AUTHORS =
  /^(\.github|\.vscode|test|tests|__tests__|bench|benchmark|benchmarks|docs|examples?|coverage)(\/|$)/;

/** Of the SQLite driver, whose sources and objects are many times what is loaded. */
const DRIVER = 'better-sqlite3';
const OF_DRIVER =
  /^(package\.json|LICENSE|lib(\/.*)?|build|build\/Release|build\/Release\/better_sqlite3\.node)$/;

/** @param path within the package, with slashes; empty for the package itself. */
export function isNeeded(packageName, isOurs, path) {
  if (path === '') return true;
  // A package within a package is one of its own.
  if (/^node_modules(\/|$)/.test(path)) return false;
  if (NOT_RUN.test(path) && !/licen[cs]e|notice/i.test(path)) return false;
  if (isOurs) return OURS.test(path);
  if (packageName === DRIVER) return OF_DRIVER.test(path);
  return !FOR_AUTHORS.test(path);
}
