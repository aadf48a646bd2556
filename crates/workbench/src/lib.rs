//! workbench
