//! mechanics
