/// What a station knows of its place, asked again when the record moves on.
import { useEffect, useRef, useState } from 'preact/hooks';
import { Refused, Unreachable } from '../api.ts';
import { useHeard } from '../live.ts';
import { known } from './words.ts';
import { floor, useReachable, type CodeHere, type StationHere } from './net.ts';

const not_sooner_ms = 3000;

export function useStation(place: string): StationHere | null {
  const [here, setHere] = useState<StationHere | null>(null);
  const reachable = useReachable();
  const planned = useRef<ReturnType<typeof setTimeout> | null>(null);
  const ask = (): void => {
    floor.station(place).then(setHere, (fault: unknown) => { if (!(fault instanceof Unreachable || fault instanceof Refused)) throw fault; });
  };
  useEffect(() => {
    ask();
    return () => {
      if (planned.current) clearTimeout(planned.current);
      planned.current = null;
    };
  }, [place, reachable]);
  // Many facts in a row are one reason to ask again.
  useHeard(null, () => {
    planned.current ??= setTimeout(() => {
      planned.current = null;
      ask();
    }, not_sooner_ms);
  });
  return here;
}

/// "batch of MF-1041, 700 pieces" for what was scanned; a thing without words of its own is named by its kind.
export const kindWords = (found: CodeHere): string => {
  const kind = known(`kind.${found.kind}`, found.kind);
  return found.words.toLowerCase().startsWith(found.kind) ? found.words : `${kind}, ${found.words}`;
};
