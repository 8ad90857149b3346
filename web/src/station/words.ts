/// Words of the stations come with the stations; pages that no station shows do not load them.
import { stations } from '../../../words/en.json';
import { fill, known as knownOfPages, t as ofPages, type Key as PageKey, type Slots } from '../words.ts';

type StationKey = keyof typeof stations;
export type Key = PageKey | StationKey;

const isStation = (key: string): key is StationKey => key in stations;

export const t = (key: Key, slots?: Slots): string => (isStation(key) ? fill(stations[key], slots) : ofPages(key, slots));
export const known = (key: string, otherwise: string): string => (isStation(key) ? stations[key] : knownOfPages(key, otherwise));
