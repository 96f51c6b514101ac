import type { Reason } from '@twolamp/session';
import { decimal, percentPlusMinus, plusMinus, withUnit } from '../quantity.js';
import { degrees, metres, percent, placeWords, side, type WordsOf } from './words-of.js';

export const FAULTS_WORDS: WordsOf<'faults'> = {
  'bends-not-seen': () =>
    'Without lamp shots from many places, a bent or misaimed tube shows as weak at most, or not at all.',
  'leaks-not-tested': ({ suspectedFrom }) => {
    const suspected =
      suspectedFrom === null
        ? ''
        : ` A leak of ${percent(suspectedFrom)} or more can be suspected where a tube is too dim and its neighbour too bright by the same amount.`;
    return `No tube was lit alone, so no leak can be proved.${suspected}`;
  },
  'pull-gain': ({ tubes, gain, gainUncertainty }) => {
    const which = tubes === 1 ? 'the one tube' : `all ${tubes} tubes`;
    return `Replacing ${which} on the pull list would return ${percentPlusMinus(gain, gainUncertainty)} of the array’s light to where it belongs.`;
  },
  'pull-dip': ({ spacingMm, distanceM, dipGain, dipGainUncertainty }) =>
    `Replacing the tubes on the pull list would change the mean dip of two lamps ${withUnit(decimal(spacingMm, 0), 'mm')} apart at ` +
    `${metres(distanceM)} by ${plusMinus(dipGain, dipGainUncertainty)}.`,
};

type ReasonWords = {
  readonly [C in Reason['code']]: (values: Extract<Reason, { code: C }>['values']) => string;
};

/** Less light than this is lost in the noise of the photos. A judgement, no source. */
const LEAST_SHARE = 0.001;

const passes = (share: number): string =>
  `It passes ${share < LEAST_SHARE ? `less than ${withUnit(decimal(100 * LEAST_SHARE, 1), '%')}` : percent(share)} of its neighbours’ light`;

const looksAside = ({ acrossDeg, upDeg, totalDeg }: { acrossDeg: number; upDeg: number; totalDeg: number }) =>
  `It looks ${degrees(totalDeg)} too far ${side(acrossDeg, upDeg)} compared with its neighbours`;

const bowed = (bowMm: number): string => `bowed by about ${withUnit(decimal(bowMm, 1), 'mm')}`;

/** A width ratio and a loss below these are not worth a word. */
const CLEARLY_WIDER = 1.03;
const CLEARLY_DIMMER = 0.97;

const REASON_WORDS: ReasonWords = {
  'hardly-any-light': ({ share, lit }) =>
    lit
      ? `${passes(share)}, which leaks in from a neighbour: it passes practically nothing itself.`
      : `${passes(share)}: practically nothing.`,
  open: ({ share }) =>
    `It passes ${decimal(share, 1)} times its neighbours’ light: the hole is empty, or the tube is too wide.`,
  'leaks-into': ({ to, toShare, total }) =>
    `${percent(toShare)} of the light that enters it comes out at ${placeWords(to)}, and ${percent(total)} outside it ` +
    'in all. That is far more than other tubes leak.',
  dim: ({ share, pointing }) => {
    switch (pointing) {
      case 'not measured':
        return `${passes(share)}. Lamp shots from many places would show whether it is bent, misaimed or dirty.`;
      case 'does not apply':
        return `${passes(share)}: dirt, a crushed end, or something in it.`;
      case 'not known':
        return `${passes(share)}. Its direction is not known; lamps closer together would show whether it is bent.`;
      case 'where it should':
        return `${passes(share)} and looks where it should: dirt, a crushed end, or a bow in a tube with matte walls.`;
    }
  },
  'may-leak-into': ({ share, tube, to, toExcess }) =>
    `${passes(share)}, and its neighbour at ${placeWords(to)} has ${percent(toExcess)} too much. It may leak into that ` +
    `one; a single shot of ${placeWords(tube)} would show it.`,
  'responds-as-bowed': ({ share, bowMm, directionDeg }) => {
    const rad = ((directionDeg ?? 0) * Math.PI) / 180;
    const middle =
      directionDeg === null ? '' : `, with its middle too far ${side(Math.cos(rad), Math.sin(rad))}`;
    const light = share === null ? '' : `${passes(share)}. `;
    return `${light}Its response to the lamps is that of a tube ${bowed(bowMm)}${middle}; no straight tube fits it.`;
  },
  'aside-and-changed': ({ share, bowMm, widthRatio, ownShape, ...aside }) => {
    const signs = [
      ...(widthRatio > CLEARLY_WIDER ? [`sees ${decimal(widthRatio, 2)} times as wide`] : []),
      ...(ownShape ? ['has a skewed or flat-topped response'] : []),
      ...(share !== null && share < CLEARLY_DIMMER ? [`passes ${percent(share)} of their light`] : []),
    ];
    const list = signs.length > 0 ? signs : ['has a slightly different response'];
    return `${looksAside(aside)}, ${list.join(', ')}: ${bowed(bowMm)}.`;
  },
  'shape-changed': ({ share, bowMm }) =>
    `${passes(share)} and looks where it should, but its response has another shape: ` +
    `${bowMm === null ? 'bowed' : bowed(bowMm)}, or something lies across its bore.`,
  'looks-aside': ({ shiftMm, bowMm, ...aside }) => {
    const found = `${looksAside(aside)}; its width and light are normal. Its front end is ${withUnit(decimal(shiftMm, 1), 'mm')} off its place.`;
    return bowMm === null
      ? found
      : `${found} It may also be ${bowed(bowMm)}; lamps closer together would show which.`;
  },
  'not-lit-by-sweep': ({ share, gap }) => {
    const found = gap === 'dark' ? 'no lamp of the sweep lights it' : 'it looks past the rim of the sweep';
    return `${passes(share)}, but ${found}, while its neighbours are lit: it looks far aside, bent or misaimed. A wider sweep would show which.`;
  },
  'reason-v1': ({ text }) => text,
};

/** A tube’s reasons as one text; empty for a healthy tube. */
export function reasonsText(reasons: readonly Reason[]): string {
  return reasons.map(reasonSentence).join(' ');
}

function reasonSentence({ code, values }: Reason): string {
  return (REASON_WORDS[code] as (values: Reason['values']) => string)(values);
}
