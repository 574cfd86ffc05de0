// The tractor cab's pillar trim with bosses 6 mm high and a collar of 3 mm
// round the grille, both heights given.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim, three bosses 6 mm high, a collar of 3 mm, ribs, tilted 8 degrees";
#declare Paper = 0.1;
#declare Args = "\"--hole-height\",\"6\",\"--grille-height\",\"3\"";
#declare Seed = 108;
#declare Focal_35 = 26.4;
#include "panel.inc"

Camera(<14, 46, 0>, 395, 8, 300, -4)
Lamp(40, 50, 110, <1, 0.98, 0.95>*0.85)
Room_light(170, <0.95, 0.98, 1>*0.17)

Plastic(<0.20, 0.205, 0.21>, 0.3, 0)
Outline(array[6] {<-58, -90>, <72, -98>, <98, 20>, <94, 172>, <-8, 190>, <-54, 60>}, 18, 9)
Grille(<28, 90>, 46.2, 3 + Paper, 2)
Boss(<-10.8, 103.9>, 9.5, 4.0, 6 + Paper, 9, 0)
Boss(<65.3, 107.4>, 9.5, 4.0, 6 + Paper, 9, 0)
Boss(<34.6, 50.2>, 9.5, 4.0, 6 + Paper, 9, 0)
Rib(<65.3, 112>, <66, 150>, 1.3, 4)
Rib(<-12, 108>, <-14, 140>, 1.3, 4)
Rib(<34.6, 45.6>, <34.6, 41>, 1.3, 4)

Window(<-30, -66>, 16, 6, 4)
Window(<44, -70>, 16, 6, -4)
Stray_hole(<64, 8>, 8)
Stray_boss(<58, -36>, 9.5, 5.2, 6, 8)
Post(<46, 160>, 6, 8)
Panel()

Mesh(<28, 90>, 46.2, 0.8, 2.0, 1.4, 0, <0.05, 0.05, 0.05>)
Cloth(<28, 90>, 46.2, 2.4, <0.02, 0.02, 0.02>)
Square(8, 60, 60, <0, 0>, 0)
Bench(16, Mat(<0.30, 0.25, 0.18>))
Write_truth()
