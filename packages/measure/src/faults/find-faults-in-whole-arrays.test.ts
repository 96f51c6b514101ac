import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { faultsOf, healthy, pointing, TUBES } from '../fixtures/made-tubes.js';

describe('findFaults in whole arrays', () => {
  test('natural scatter is no fault: at most 1 in 200 of healthy tubes', () => {
    let alarms = 0;
    for (let seed = 0; seed < 8; seed++) {
      alarms += faultsOf(healthy(seededRandom(seed))).tubes.filter((tube) => tube.fault !== 'none').length;
    }
    expect(alarms).toBeLessThanOrEqual((8 * TUBES) / 200);
  });

  test('losses of 15 % and offsets of five scatters among 40 faulty tubes are found', () => {
    const random = seededRandom(9);
    const made = healthy(random);
    for (let n = 0; n < 20; n++) {
      made.relative[n] = 0.85 - 0.3 * random.uniform();
      made.tubes[100 + n] = pointing(0.75 + random.uniform(), 0, 0.02 * random.normal());
    }
    const { tubes } = faultsOf(made);
    expect(tubes.slice(0, 20).filter((tube) => tube.fault === 'weak').length).toBeGreaterThanOrEqual(19);
    const aside = tubes.slice(100, 120).filter((tube) => ['misaimed', 'bent'].includes(tube.fault));
    expect(aside).toHaveLength(20);
  });

  test('a quarter of the array blocked leaves the rest as it is', () => {
    const made = healthy(seededRandom(10));
    for (let n = 0; n < TUBES / 4; n++) {
      made.relative[n] = 0.002;
      made.tubes[n] = null;
      made.gaps[n] = 'dark';
    }
    const { tubes } = faultsOf(made);
    expect(tubes.slice(0, TUBES / 4).every((tube) => tube.fault === 'blocked')).toBe(true);
    expect(tubes.slice(TUBES / 4).filter((tube) => tube.fault !== 'none').length).toBeLessThanOrEqual(2);
  });

  test('a tube of unknown light is judged by its direction alone', () => {
    const made = healthy(seededRandom(11));
    made.relative[8] = Number.NaN;
    made.relative[9] = Number.NaN;
    made.tubes[9] = pointing(1.5, 0, 0.3);
    const { tubes } = faultsOf(made);
    expect([tubes[8].fault, tubes[9].fault]).toEqual(['none', 'bent']);
  });

  test('findings name the shots that are missing', () => {
    const made = healthy(seededRandom(12));
    made.swept = false;
    made.relative[137] = 0.5;
    const codes = faultsOf(made).findings.map(({ code }) => code);
    expect(codes).toEqual(['bends-not-seen', 'leaks-not-tested']);
  });
});
