import type { LoadHook, ResolveHook } from 'node:module';
import { withChange } from './change.js';

/*
 * Loads the varied packages anew with one number of a tuning file changed. An address that ends in
 * `?vary=N&file=…&name=…&by=…` hands this ending on to all files of these packages that it imports, and the tuning file
 * named in it is changed on loading.
 */

/** Packages that lead from a photo to the result. */
const VARIED = /\/packages\/(places|flux|cells|consistency|resolving|measure)\/dist\//;

export const resolve: ResolveHook = async (specifier, context, next) => {
  const resolved = await next(specifier, context);
  const { parentURL } = context;
  const at = parentURL?.indexOf('?vary=') ?? -1;
  if (parentURL === undefined || at < 0 || !VARIED.test(resolved.url)) return resolved;
  return { ...resolved, url: `${resolved.url}${parentURL.slice(at)}` };
};

export const load: LoadHook = async (url, context, next) => {
  const loaded = await next(url, context);
  const at = url.indexOf('?vary=');
  if (at < 0) return loaded;
  const change = new URLSearchParams(url.slice(at));
  if (url.slice(0, at) !== change.get('file')) return loaded;
  const source = withChange(String(loaded.source), {
    name: change.get('name')!,
    by: Number(change.get('by')),
  });
  return { ...loaded, source };
};
