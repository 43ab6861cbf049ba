import { useEffect, useState } from 'preact/hooks';
import { photoOf } from '../../../journal/outbox/photos';
import { online } from '../../../state';
import { workWords } from '../../../words/rooms';

interface Props {
  hash: string;
  alt: string;
}

/** A photo by its hash: from this phone where it is, else from the server where there is one. */
export function Picture({ hash, alt }: Props) {
  const [source, setSource] = useState<{ url: string } | 'absent' | undefined>(undefined);
  useEffect(() => {
    let current = true;
    let made = '';
    const find = async () => {
      const row = await photoOf(hash).catch(() => undefined);
      if (!current) return;
      if (row) made = URL.createObjectURL(new Blob([row.bytes], { type: row.type }));
      setSource({ url: row ? made : `/api/photos/${hash}` });
    };
    void find();
    return () => {
      current = false;
      if (made !== '') URL.revokeObjectURL(made);
    };
  }, [hash, online.value]);
  if (source === undefined) return <div class="picture" />;
  if (source === 'absent') return <p class="picture small quiet">{workWords.value.spot.photo.notHere}</p>;
  return <img class="picture" src={source.url} alt={alt} onError={() => setSource('absent')} />;
}
