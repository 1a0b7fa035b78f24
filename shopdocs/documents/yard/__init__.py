"""What the sheets about boards share: their drawings, sizes, prices and near fits."""
