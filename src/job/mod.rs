//! The job file and its answer.
