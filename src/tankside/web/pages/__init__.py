"""One handler a page: find the case, call one service, fill one template."""
