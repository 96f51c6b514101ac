import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, posix, relative, sep } from 'node:path';
import { describe, expect, test } from 'vitest';

const PACKAGES = join(import.meta.dirname, '../packages');

interface Edge {
  readonly from: string;
  readonly to: string;
}

/** Sources of a package, tests and fixtures left out; relative to its src, with forward slashes. */
function sourcesOf(name: string): string[] {
  return readdirSync(join(PACKAGES, name, 'src'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !entry.name.endsWith('.test.ts'))
    .map((entry) =>
      relative(join(PACKAGES, name, 'src'), join(entry.parentPath, entry.name))
        .split(sep)
        .join('/'),
    )
    .filter((path) => !path.includes('fixtures/'));
}

function importsOf(name: string, path: string): string[] {
  const text = readFileSync(join(PACKAGES, name, 'src', path), 'utf8');
  return [...text.matchAll(/\bfrom '([^']+)'/g)].map(([, target]) => target);
}

/** Imports between the top folders of a package; files at its head belong to none. */
function folderEdges(name: string): Edge[] {
  return sourcesOf(name).flatMap((path) =>
    importsOf(name, path)
      .filter((target) => target.startsWith('.'))
      .map((target) => ({ path, target: posix.join(dirname(path), target) }))
      .filter((edge) => edge.path.includes('/') && edge.target.includes('/'))
      .map((edge) => ({ from: edge.path.split('/')[0], to: edge.target.split('/')[0] }))
      .filter(({ from, to }) => from !== to),
  );
}

/** A way round along the edges, as names; null where there is none. */
function circleIn(edges: readonly Edge[]): string[] | null {
  const done = new Set<string>();
  const follow = (name: string, way: readonly string[]): string[] | null => {
    if (way.includes(name)) return [...way.slice(way.indexOf(name)), name];
    if (done.has(name)) return null;
    for (const { from, to } of edges) {
      const circle = from === name ? follow(to, [...way, name]) : null;
      if (circle) return circle;
    }
    done.add(name);
    return null;
  };
  for (const { from } of edges) {
    const circle = follow(from, []);
    if (circle) return circle;
  }
  return null;
}

const names = readdirSync(PACKAGES);

describe('nothing imports in a circle', () => {
  test.each(names)('the folders of %s', (name) => {
    expect(circleIn(folderEdges(name))).toBeNull();
  });

  test('the packages', () => {
    const edges = names.flatMap((from) =>
      sourcesOf(from)
        .flatMap((path) => importsOf(from, path))
        .filter((target) => target.startsWith('@twolamp/'))
        .map((target) => ({ from, to: target.slice('@twolamp/'.length) })),
    );
    expect(edges.length).toBeGreaterThan(50);
    expect(circleIn(edges)).toBeNull();
  });

  test('a circle is found', () => {
    const edges = [
      { from: 'a', to: 'b' },
      { from: 'b', to: 'c' },
      { from: 'c', to: 'b' },
    ];
    expect(circleIn(edges)).toEqual(['b', 'c', 'b']);
  });
});
