//! Pictures: palette, plots, SVG to PNG.
