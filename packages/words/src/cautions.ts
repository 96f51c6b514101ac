/** What the page warns of, in the words of the bench. */
export const CAUTIONS = [
  'Lamps and bulbs get hot: keep cardboard, tape and plastic tubes away from them, and don’t leave them alone.',
  'Don’t look into bright LED lamps or any laser. Never aim an array or a camera at the sun with an eye behind it.',
  'Cutting, drilling and heating plastic: wear eye protection and keep the room well aired.',
  'Mains lamps: follow the maker’s instructions and the local electrical code; leave work on mains wiring to a licensed ' +
    'electrician. Twolamp is a measuring aid, not a safety assessment.',
] as const;
