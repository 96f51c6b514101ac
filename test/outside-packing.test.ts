import { execFileSync } from 'node:child_process';
import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { pythonWith } from '../bench/peers/render-peer.js';
import { triangulate } from '../packages/numeric/src/delaunay.js';

const python = pythonWith(['numpy', 'scipy']);
const MISSING = 'skipped, needs python3-numpy and python3-scipy of Debian';

const NEIGHBOURS = `
import json, sys
import numpy as np
from scipy.spatial import Delaunay
points = np.array(json.load(sys.stdin))
starts, neighbours = Delaunay(points).vertex_neighbor_vertices
print(json.dumps([sorted(neighbours[starts[k]:starts[k + 1]].tolist()) for k in range(len(points))]))
`;

describe.skipIf(python === null)(`packed tubes beside SciPy${python === null ? ` (${MISSING})` : ''}`, () => {
  test('Delaunay neighbours are those of scipy.spatial, which has them from Qhull', () => {
    const random = seededRandom(4);
    const points = Array.from({ length: 300 }, () => [10 * random.uniform(), 7 * random.uniform()]);
    const answer = execFileSync(python!, ['-c', NEIGHBOURS], {
      input: JSON.stringify(points),
      encoding: 'utf8',
    });
    const { neighbours } = triangulate(
      points.map(([x]) => x!),
      points.map(([, y]) => y!),
      Number.POSITIVE_INFINITY,
    );
    expect(neighbours.map((list) => [...list].sort((a, b) => a - b))).toEqual(JSON.parse(answer));
  });
});
