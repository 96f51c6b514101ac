// opencv-wasm is made for Node. Under the page's strict content policy it must neither read files nor make functions from
// texts, so that its JavaScript is mended here while it is bundled; its WebAssembly stays a file of its own.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

const VIRTUAL = '\0opencv-for-the-page';
const folder = dirname(createRequire(import.meta.url).resolve('opencv-wasm'));

/** What stands in the library, and what stands there in the page. */
const MENDED = [
  {
    // Loads the WebAssembly beside the script; a module may wait for it.
    from: "let Module = {};\nlet opencvWasmBinaryFile = './opencv.wasm';",
    to: 'let Module = { wasmBinary: await (await fetch(wasm)).arrayBuffer() };\nlet opencvWasmBinaryFile = wasm;',
  },
  {
    // A function of a given name, around another.
    from: /return new Function\("body".*\)\(body\)/,
    to: 'return function () { return body.apply(this, arguments); }',
  },
  {
    from: 'return new Function("dynCall", "rawFunction", body)(dynCall, rawFunction)',
    to: 'return (...values) => dynCall(rawFunction, ...values)',
  },
  {
    // Calls a C++ function: values to the wire, the call, what was made for it freed, the answer from the wire.
    from: 'var invokerFunction = new_(Function, args1).apply(null, args2);',
    to: `var invokerFunction = function (...given) {
      if (given.length !== argCount - 2) {
        throwBindingError("function " + humanName + " called with " + given.length + " arguments, expected " + (argCount - 2) + " args!");
      }
      var freed = needsDestructorStack ? [] : null;
      var first = isClassMethodFunc ? 1 : 2;
      var wired = [];
      for (var i = first; i < argCount; ++i) {
        wired.push(argTypes[i].toWireType(freed, i === 1 ? this : given[i - 2]));
      }
      var answer = cppInvokerFunc(cppTargetFunc, ...wired);
      if (needsDestructorStack) runDestructors(freed);
      else {
        for (var i = first; i < argCount; ++i) {
          if (argTypes[i].destructorFunction !== null) argTypes[i].destructorFunction(wired[i - first]);
        }
      }
      if (returns) return argTypes[0].fromWireType(answer);
    };`,
  },
  {
    // Calls a method of a JavaScript value from C++.
    from: 'var invokerFunction = new_(Function, params).apply(null, args);',
    to: `var invokerFunction = function (handle, name, destructors, from) {
      var offset = 0;
      var given = types.slice(1).map(function (type) {
        var value = type.readValueFromPointer(from + offset);
        offset += type.argPackAdvance;
        return value;
      });
      var answer = handle[name](...given);
      types.slice(1).forEach(function (type, i) { if (type.deleteObject) type.deleteObject(given[i]); });
      if (!retType.isVoid) return retType.toWireType(destructors, answer);
    };`,
  },
];

export function opencvForThePage() {
  return {
    name: 'opencv-for-the-page',
    enforce: 'pre',
    resolveId(id) {
      return id === 'opencv-wasm' ? VIRTUAL : null;
    },
    load(id) {
      if (id !== VIRTUAL) return null;
      let code = readFileSync(join(folder, 'opencv.js'), 'utf8');
      for (const { from, to } of MENDED) {
        const mended = code.replace(from, () => to);
        if (mended === code) throw new Error(`opencv.js has changed: ${from} isn't there`);
        code = mended;
      }
      if (/new Function|new_\(Function/.test(code))
        throw new Error('opencv.js still makes functions from texts');
      return [
        `import wasm from ${JSON.stringify(`${join(folder, 'opencv.wasm')}?url`)};`,
        'const module = { exports: {} };',
        // Its branches for Node are never taken here.
        'const require = undefined, define = undefined, exports = undefined;',
        code,
        'export const cv = module.exports;',
      ].join('\n');
    },
  };
}
