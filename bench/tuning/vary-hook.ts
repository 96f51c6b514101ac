import type { LoadHook, ResolveHook } from 'node:module';
import { VARIED_PACKAGES } from './constants.js';

/*
 * Loads the varied packages anew with one number of a tuning file changed. An address that ends in
 * `?vary=N&file=…&name=…&by=…` hands this ending on to all files of these packages that it imports, and the tuning file
 * named in it is changed on loading.
 */

const isVaried = (url: string) => VARIED_PACKAGES.some((name) => url.includes(`/packages/${name}/dist/`));

export const resolve: ResolveHook = async (specifier, context, next) => {
  const resolved = await next(specifier, context);
  const { parentURL } = context;
  const at = parentURL?.indexOf('?vary=') ?? -1;
  if (parentURL === undefined || at < 0 || !isVaried(resolved.url)) return resolved;
  return { ...resolved, url: `${resolved.url}${parentURL.slice(at)}` };
};

export const load: LoadHook = async (url, context, next) => {
  const loaded = await next(url, context);
  const at = url.indexOf('?vary=');
  if (at < 0) return loaded;
  const change = new URLSearchParams(url.slice(at));
  if (url.slice(0, at) !== change.get('file')) return loaded;
  const [name, ...fields] = change.get('name')!.split('.');
  const source = String(loaded.source);
  const by = Number(change.get('by'));
  if (fields.length === 0) {
    return {
      ...loaded,
      source: source.replace(
        new RegExp(`export const ${name} = ([^;]+);`),
        `export const ${name} = ($1) * ${by};`,
      ),
    };
  }
  const place = fields.map((field) => `[${JSON.stringify(field)}]`).join('');
  return { ...loaded, source: `${source}\n${name}${place} *= ${by};\n` };
};
