"""Every pack that could be built for a brief: searched, run, judged, ranked; why not the others."""
