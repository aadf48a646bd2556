//! scene
