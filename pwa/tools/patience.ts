/** What a drawn test waits for may come late on a busy machine: the library's one second would let time decide. */
import { configure } from '@testing-library/preact';

configure({ asyncUtilTimeout: 120_000 });
