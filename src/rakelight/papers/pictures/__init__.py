"""Pictures as SVG, one module each, drawn from typed models on one canvas."""
