// The boat's dash pod with bosses 9 mm proud of the face and broken edges on
// their holes, a collar of 3 mm: where a flat tracing goes wrong by a millimetre.
#include "photo.inc"
#declare About = "invented: a boat's dash pod, two bosses 9 mm high with chamfered holes, a collar of 3 mm, tilted 5 degrees";
#declare Args = "\"--hole-height\",\"9\",\"--grille-height\",\"3\"";
#declare Seed = 115;
#declare Focal_35 = 27.7;
#include "panel.inc"

Camera(<38, 30, 0>, 390, 5, 110, 6)
Lamp(230, 52, 100, <1, 0.98, 0.95>*0.85)
Room_light(330, <0.95, 0.98, 1>*0.16)

Plastic(<0.27, 0.29, 0.28>, 0.3, 0)
Outline(array[8] {<-66, -40>, <-40, -72>, <136, -72>, <166, -44>, <164, 100>, <134, 132>, <-44, 126>, <-68, 96>}, 10, 6)
Grille(<86, 46>, 48.6, 3 + Paper, 2.2)
Boss(<45.2, 66.1>, 10.5, 4.2, 9 + Paper, 10, 0.4)
Boss(<121.9, 18.8>, 10.5, 4.2, 9 + Paper, 10, 0.4)
Rib(<41, 68>, <20, 78>, 1.3, 5)
Rib(<126, 15>, <146, 4>, 1.3, 5)

Stray_boss(<-30, 98>, 8, 3, 9, 10)
Stray_hole(<62, -8>, 6.5)
Slot(<126, -48>, 16, 5, 0)
Slot(<30, 110>, 16, 5, 0)
Post(<142, 102>, 5, 5)
Rib(<48, -36>, <142, -36>, 1.6, 5)
Panel()

Mesh(<86, 46>, 48.6, 1.0, 2.2, 1.5, 9, <0.05, 0.05, 0.05>)
Cloth(<86, 46>, 48.6, 2.4, <0.02, 0.02, 0.02>)
Square(15, 60, 60, <0, 0>, 0)
Bench(12, Wood(<0.36, 0.24, 0.16>))
Write_truth()
