import js from '@eslint/js';
import tseslint from 'typescript-eslint';
import pure from './pure-folders.cjs';

const PURE = 'A core takes time and chance as inputs, and does no input or output.';

export default tseslint.config(
  { ignores: ['dist/**', 'coverage/**', 'node_modules/**', 'tests/.tmp/**'] },
  js.configs.recommended,
  {
    files: ['**/*.ts', '**/*.tsx'],
    extends: [...tseslint.configs.strictTypeChecked, ...tseslint.configs.stylisticTypeChecked],
    languageOptions: {
      parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      // Numbers read well in sentences; everything else still needs a string.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/consistent-type-definitions': 'off',
      '@typescript-eslint/no-non-null-assertion': 'error',
      'max-lines-per-function': ['error', { max: 70 }],
    },
  },
  {
    // What an import cannot tell, which the layers see to.
    files: pure.folders.map((folder) => `${folder}/**/*.ts`),
    ignores: pure.shells,
    rules: {
      'no-restricted-globals': [
        'error',
        ...[
          'Date',
          'performance',
          'setTimeout',
          'setInterval',
          'setImmediate',
          'queueMicrotask',
          'crypto',
          'process',
          'console',
          'fetch',
          'globalThis',
        ].map((name) => ({ name, message: PURE })),
      ],
      'no-restricted-properties': ['error', { object: 'Math', property: 'random', message: PURE }],
    },
  },
  {
    // A describe block is a list of rules, not a function somebody has to hold in the head.
    files: ['tests/**/*.ts'],
    rules: { 'max-lines-per-function': 'off' },
  },
  {
    files: ['**/*.js', '**/*.cjs', '**/*.mjs'],
    languageOptions: { globals: { process: 'readonly', module: 'writable' } },
  },
);
