/** Brings in the file that a phone saves when it can no longer send. */
import { useState } from 'preact/hooks';
import type { UnsentAnswer } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { refresh, sendFile } from '../../../views/views';
import { FileButton } from '../FileButton';
import { Section } from '../Page';
import { inWords, Trouble } from '../Trouble';

export function FileIn() {
  const words = supervisorWords.value.phones;
  const [said, say] = useState('');
  const [failed, fail] = useState('');
  const take = async (file: File) => {
    say('');
    fail('');
    try {
      if (!(await isUnsent(file))) return fail(words.fileWrong);
      const { entries, merged, known, quarantined } = await sendFile<UnsentAnswer>('/api/in/unsent', file);
      say(words.fileDone(entries, merged, known, quarantined));
      await refresh('phones');
    } catch (error) {
      fail(inWords(error));
    }
  };
  return (
    <Section title={words.fileTitle} class="file-in">
      <p>{words.fileIntro}</p>
      <div class="actions">
        <FileButton label={words.fileChoose} accept=".json,application/json" onFile={(file) => void take(file)} />
      </div>
      <p role="status">{said}</p>
      <Trouble said={failed} />
    </Section>
  );
}

/** True for a phone's file with at least one note in it. */
async function isUnsent(file: File): Promise<boolean> {
  try {
    const read = JSON.parse(await file.text()) as { bedwalk?: unknown; entries?: unknown; aside?: unknown } | null;
    const count = (list: unknown) => (Array.isArray(list) ? list.length : 0);
    return read?.bedwalk === 'unsent notes' && count(read.entries) + count(read.aside) > 0;
  } catch {
    return false;
  }
}
