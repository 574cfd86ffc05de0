// The caravan's door insert with foam pads, posts and clip towers round about,
// and stray holes of the same size far from the grille.
#include "photo.inc"
#declare About = "invented: a caravan's door insert in brown plastic, four holes among posts, foam pads, towers and stray holes, tilted 8 degrees";
#declare Seed = 114;
#declare Focal_35 = 27.6;
#declare Tint = <1.01, 1, 0.98>;
#include "panel.inc"

Camera(<38, 40, 0>, 415, 8, 340, -8)
Lamp(140, 45, 70, <1, 0.96, 0.90>*0.88)
Room_light(10, <0.95, 0.98, 1>*0.16)

Plastic(<0.20, 0.15, 0.11>, 0.25, 0.04)
Outline(array[5] {<-70, -74>, <170, -70>, <182, 116>, <64, 166>, <-74, 124>}, 20, 8)
Grille(<84, 66>, 44.8, 0, 0)
Mounting_hole(<56.3, 35.2>, 4.0)
Mounting_hole(<115.7, 39.8>, 4.0)
Mounting_hole(<113.1, 99.4>, 4.0)
Mounting_hole(<50.6, 96.9>, 4.0)

Stray_hole(<160, -48>, 4.0)
Stray_hole(<-56, 106>, 4.0)
Stray_hole(<84, 112>, 2.6)
Stray_hole(<140, 66>, 7.0)
Post(<84, 22>, 4.0, 5)
Post(<40, 66>, 6, 4)
Post(<128, 12>, 5, 7)
Post(<-2, 62>, 8, 5)
Clip_tower(<64, -50>, 18, 9, 8, 0)
Clip_tower(<-54, 66>, 18, 9, 8, 90)
Window(<150, 18>, 14, 6, 80)
Slot(<20, 128>, 16, 6, 12)
Rib(<52, -26>, <150, -20>, 1.5, 5)
Rib(<-30, 112>, <-30, 56>, 1.5, 5)
Panel()

Mesh(<84, 66>, 47, 1.5, 2.1, 1.45, 3, <0.05, 0.045, 0.04>)
Cloth(<84, 66>, 47, 4, <0.012, 0.012, 0.012>)
Foam(<152, 92>, 30, 14, 6, -60)
Foam(<110, -46>, 36, 16, 7, 3)
Foam(<14, 96>, 20, 20, 8, 30)
Square(14, 60, 60, <0, 0>, 0)
Bench(15, Mat(<0.46, 0.45, 0.42>))
Write_truth()
