"""Pure core: routes over the runs of a plan, and the bundles that lie in them."""
