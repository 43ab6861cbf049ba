import type { Cooler, LoggerFile } from '../../../../../schema/types';
import { voidEntries } from '../../../journal/outbox/voids';
import { Button } from '../../../parts/Button';
import { DataTable } from '../../../parts/DataTable';
import { say } from '../../../parts/Toast';
import { dateTime, number } from '../../../words/format';
import { nameOfHouse } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';

/** The logger files that were read in; one that was wrong is struck out whole. */
export function Files({ files, coolers }: { files: readonly LoggerFile[]; coolers: readonly Cooler[] }) {
  const words = supervisorWords.value.cooler;
  const { file } = words;
  // The view has the names of the coolers, which a device that is still reading its records has not.
  const nameOf = (house: string) => coolers.find((each) => each.house === house)?.name || nameOfHouse(house);
  const strike = async ({ entries }: LoggerFile) => {
    try {
      const back = await voidEntries(
        entries.map((id) => ({ names: id, records: [`trace:${id}`], place: {} })),
        'mistake',
      );
      say(file.done, () => void back());
    } catch {
      say(file.failed);
    }
  };
  return (
    <Section title={words.filesTitle}>
      {files.length === 0 ? (
        <p class="quiet">{words.noFiles}</p>
      ) : (
        <DataTable
          caption={words.filesTitle}
          captionUnseen
          stacks
          rows={files}
          keyOf={({ house, spot, source }) => `${house} ${spot} ${source}`}
          columns={[
            { key: 'house', title: file.house, heads: true, cell: ({ house }) => nameOf(house) },
            { key: 'spot', title: file.spot, cell: ({ spot }) => spot },
            { key: 'from', title: file.from, whole: true, cell: ({ from_ms }) => dateTime(from_ms) },
            { key: 'to', title: file.to, whole: true, cell: ({ to_ms }) => dateTime(to_ms) },
            { key: 'values', title: file.values, numeric: true, cell: ({ values }) => number(values) },
            {
              key: 'out',
              title: file.out,
              offPaper: true,
              cell: (one) => (
                <Button kind="quiet" onClick={() => void strike(one)}>
                  {file.out}
                </Button>
              ),
            },
          ]}
        />
      )}
    </Section>
  );
}
