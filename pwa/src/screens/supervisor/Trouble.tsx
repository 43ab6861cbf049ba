/** What keeps something from being done on these pages, said where it was asked for. */
import { useState } from 'preact/hooks';
import { Refusal } from '../../journal/wire';
import { appWords } from '../../words';
import { supervisorWords } from '../../words/supervisor';

/** Nothing where there is no trouble. */
export function Trouble({ said }: { said: string }) {
  if (said === '') return null;
  return (
    <p class="attention" role="alert">
      {said}
    </p>
  );
}

interface Sending {
  /** What the last attempt met, in words; '' when it met nothing. */
  trouble: string;
  /** Does something that the server may refuse. */
  attempt: (what: () => Promise<void>) => Promise<void>;
}

export function useSending(): Sending {
  const [trouble, setTrouble] = useState('');
  const attempt = async (what: () => Promise<void>) => {
    try {
      await what();
      setTrouble('');
    } catch (error) {
      setTrouble(inWords(error));
    }
  };
  return { trouble, attempt };
}

/** Why a request failed, with what to do about it. The server's own words are English, so they only help out. */
export function inWords(error: unknown): string {
  const { unexpected, notFound } = appWords.value.common.problem;
  if (!(error instanceof Refusal)) return unexpected;
  const words = supervisorWords.value.pages.data.trouble;
  const { why, problem } = error;
  if (why !== 'refused') return words[why];
  if (problem?.status === 403) return words.notAllowed;
  if (problem?.status === 404) return notFound;
  return problem ? `${problem.detail} ${problem.remedy}`.trim() : unexpected;
}
