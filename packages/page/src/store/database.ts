import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { Bench } from '../bench/bench.js';
import type { Learned } from './learned.js';

interface Schema extends DBSchema {
  benches: { key: string; value: Bench };
  /** Photos, keyed by bench and name in its folder. */
  files: { key: [bench: string, name: string]; value: Blob };
  /** What was learned from a bench's photos, keyed by bench. */
  learned: { key: string; value: Learned };
}

/** The browser's private storage of benches and their photos. */
export interface BenchStore {
  list(): Promise<Bench[]>;
  save(bench: Bench): Promise<void>;
  /** Removes a bench and all its photos for good. */
  destroy(id: string): Promise<void>;
  putFile(bench: string, name: string, blob: Blob): Promise<void>;
  file(bench: string, name: string): Promise<Blob | undefined>;
  learned(bench: string): Promise<Learned | undefined>;
  keepLearned(bench: string, learned: Learned): Promise<void>;
}

const filesOf = (bench: string) => IDBKeyRange.bound([bench], [bench, []]);

/** @throws where the browser keeps nothing, as some do in private windows */
export async function openStore(): Promise<BenchStore> {
  const database: IDBPDatabase<Schema> = await openDB<Schema>('twolamp-bench', 1, {
    upgrade(fresh) {
      fresh.createObjectStore('benches', { keyPath: 'id' });
      fresh.createObjectStore('files');
      fresh.createObjectStore('learned');
    },
  });
  return {
    async list() {
      return (await database.getAll('benches')).sort((a, b) => b.changed - a.changed);
    },
    async save(bench) {
      await database.put('benches', bench);
    },
    async destroy(id) {
      const change = database.transaction(['benches', 'files', 'learned'], 'readwrite');
      await change.objectStore('benches').delete(id);
      await change.objectStore('files').delete(filesOf(id));
      await change.objectStore('learned').delete(id);
      await change.done;
    },
    async putFile(bench, name, blob) {
      await database.put('files', blob, [bench, name]);
    },
    async file(bench, name) {
      return database.get('files', [bench, name]);
    },
    async learned(bench) {
      return database.get('learned', bench);
    },
    async keepLearned(bench, learned) {
      await database.put('learned', learned, bench);
    },
  };
}
