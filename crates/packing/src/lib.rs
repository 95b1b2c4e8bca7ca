//! Engine: parts from stock with kerf, proven cheapest. Integers only; knows no timber.
