/// What a station knows of its place, asked again when the record moves on.
import { useEffect, useState } from 'preact/hooks';
import { Refused, Unreachable } from '../api.ts';
import { useHeard } from '../live.ts';
import { known } from '../words.ts';
import { floor, useReachable, type CodeHere, type StationHere } from './net.ts';

export function useStation(place: string): StationHere | null {
  const [here, setHere] = useState<StationHere | null>(null);
  const reachable = useReachable();
  const ask = (): void => {
    floor.station(place).then(setHere, (fault: unknown) => { if (!(fault instanceof Unreachable || fault instanceof Refused)) throw fault; });
  };
  useEffect(ask, [place, reachable]);
  useHeard(null, ask);
  return here;
}

/// "Batch K7M4J-7: MF-1041, 700 pieces" for what was scanned; a thing without words is its kind.
export const kindWords = (found: CodeHere): string => {
  const kind = known(`kind.${found.kind}`, found.kind);
  return found.words.toLowerCase().startsWith(found.kind) ? found.words : `${kind}, ${found.words}`;
};
