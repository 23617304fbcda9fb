//! Dryhold: a room-turnover board for hospitals that find and treat bed bugs.
