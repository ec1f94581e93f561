export { type ApiLimits, type ApiOptions, buildApi } from './build-api.ts';
export { ListenError, type ListenTrouble, listenApi } from './listen.ts';
export { STREAM_CLOSE } from './stream.ts';
export { type Role, type Tokens, type TokensOutcome, tokensFrom } from './tokens.ts';
