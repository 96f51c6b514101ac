/** Checks of arguments, one voice: name first, value last. Written so that NaN fails too. */

export function requireFinite(name: string, value: number): number {
  if (!Number.isFinite(value)) throw new RangeError(`${name} must be a finite number, got ${value}`);
  return value;
}

export function requirePositive(name: string, value: number): number {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`${name} must be above 0, got ${value}`);
  return value;
}

export function requireNotNegative(name: string, value: number): number {
  if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name} must be 0 or more, got ${value}`);
  return value;
}

/** Both ends belong to the range. */
export function requireInside(name: string, value: number, low: number, high: number): number {
  if (!(value >= low && value <= high)) {
    throw new RangeError(`${name} must lie from ${low} to ${high}, got ${value}`);
  }
  return value;
}

export function requireWhole(name: string, value: number, low: number): number {
  if (!(Number.isSafeInteger(value) && value >= low)) {
    throw new RangeError(`${name} must be a whole number of at least ${low}, got ${value}`);
  }
  return value;
}
