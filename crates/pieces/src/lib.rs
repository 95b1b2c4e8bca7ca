//! One file per piece: its schema, what it asks of fit, its detail.
