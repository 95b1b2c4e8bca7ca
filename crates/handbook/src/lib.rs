//! Published numbers with their sources: the only place a reference number lives.
