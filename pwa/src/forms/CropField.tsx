/** A lot's crop: chosen of those that are here, so that one is not written in two ways; another can be typed. */
import { useState } from 'preact/hooks';
import { cropKey } from '../../../sync/bed/crop';
import { lots, profiles } from '../journal/records/registers';
import { nameOfCrop } from '../words/names';
import { workWords } from '../words/rooms';
import { PickField, TextField } from './fields';
import type { Field } from './form';

/** The value of the last choice: no crop begins so, since spaces around one are taken off. */
const OTHER = ' other';

/** The crops of lots, and those set up at the desk, most used first; of one in several spellings the first. */
export function knownCrops(): string[] {
  const uses = new Map<string, number>();
  for (const { crop } of lots.value.values()) if (crop) uses.set(crop, (uses.get(crop) ?? 0) + 1);
  for (const { crop } of profiles.value.values()) if (crop) uses.set(crop, uses.get(crop) ?? 0);
  const byUse = [...uses].sort((a, b) => b[1] - a[1]).map(([crop]) => crop);
  const keys = new Set<string>();
  return byUse.filter((crop) => !keys.has(cropKey(crop)) && keys.add(cropKey(crop)));
}

export function CropField(props: Field & { label: string }) {
  const { label, typed, onType } = props;
  const words = workWords.value.work.lot;
  const known = knownCrops();
  // What was typed here, while that is what stands in the field: "azalea" may yet become "azalea red".
  const [own, setOwn] = useState<string | undefined>(undefined);
  // A lot's crop in a spelling of its own stays as it is written.
  const writes = known.length === 0 || own === typed || (typed !== '' && !known.includes(typed));
  const choose = (value: string) => {
    setOwn(value === OTHER ? '' : undefined);
    onType(value === OTHER ? '' : value);
  };
  const write = (text: string) => {
    setOwn(text);
    onType(text);
  };
  return (
    <>
      {known.length > 0 && (
        <PickField
          {...props}
          {...(writes ? { answer: {} } : {})}
          options={[...known, OTHER].map((value) => ({
            value,
            label: value === OTHER ? words.otherCrop : nameOfCrop(value),
          }))}
          typed={writes ? OTHER : typed}
          onType={choose}
        />
      )}
      {writes && <TextField {...props} label={known.length > 0 ? words.otherCropName : label} onType={write} />}
    </>
  );
}
