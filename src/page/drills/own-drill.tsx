/** A drill file from the person's own disk, played on this bench. */
import { OwnFile } from '../parts/own-file.tsx';
import { R } from '../texts/index.ts';
import { FreshStart } from './fresh-start.tsx';
import { playThenShow } from './on-now.tsx';

const NAME = 'play file';

export function OwnDrill() {
  return (
    <OwnFile name={NAME} title={R.own} says={R.ownSays}>
      {(file) => (
        <FreshStart
          name={NAME}
          word={R.playFile}
          isUnready={!file.isChosen}
          ask={({ api }) => file.hand((text) => playThenShow(api, { text }))}
        />
      )}
    </OwnFile>
  );
}
