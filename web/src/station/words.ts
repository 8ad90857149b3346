/// The stations' words, loaded with them.
import { stations } from '../../../words/en.json';
import { addWords } from '../words.ts';

addWords(stations);
